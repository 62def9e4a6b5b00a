/* A price as people write it. Money is a decimal text, never a float. */

export type TypedMoney = { ok: true; amount: string } | { ok: false; why: string };

/** "14,500", "14 500.00", "14.500,5" -> "14500.00". Groups of three are thousands; one or two
 *  digits after the last sign are cents. */
export function readMoney(text: string): TypedMoney {
  const typed = text.replace(/[\s\u00a0\u202f']/gu, "");
  const read = /^(\d{1,3}(?:[.,]\d{3})+|\d+)(?:[.,](\d{1,2}))?$/.exec(typed);
  const whole = read?.[1]?.replace(/[.,]/g, "");
  if (!whole || whole.length > 9) return { ok: false, why: "Write it like 14500 or 14500.00." };
  return { ok: true, amount: `${Number(whole)}.${(read?.[2] ?? "").padEnd(2, "0")}` };
}
