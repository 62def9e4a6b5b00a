/* A stretch of a number line laid over the width of a picture. Places are shares of the width, 0 to 1. */

export class Scale {
  readonly low: number;
  readonly high: number;

  constructor(low: number, high: number) {
    this.low = low;
    this.high = high;
  }

  /** Where a value stands; what lies outside stands at the end. */
  at(value: number): number {
    const share = (value - this.low) / (this.high - this.low);
    return Math.min(Math.max(share, 0), 1);
  }

  shows(value: number): boolean {
    return value >= this.low && value <= this.high;
  }

  /** At as a percentage for SVG coordinates, three decimals. */
  percent(value: number): string {
    return `${Math.round(this.at(value) * 1e5) / 1e3}%`;
  }
}

/** Round steps (1, 2, 5 times a power of ten) from about `low` to about `high`, in at most `most` stretches. */
export function roundTicks(low: number, high: number, most: number): number[] {
  const raw = Math.max(high - low, Number.EPSILON) / most;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = power * ([1, 2, 5, 10].find((times) => times * power >= raw) ?? 10);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  );
}
