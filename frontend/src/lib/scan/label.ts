/* A machine's label read by the browser's own barcode reader, where there is one. Nothing is sent
   anywhere; typing is always there beside it. */

interface Detector {
  detect(picture: ImageBitmap): Promise<{ rawValue: string }[]>;
}
interface DetectorMaker {
  new (options: { formats: string[] }): Detector;
  getSupportedFormats(): Promise<string[]>;
}

/** On plates and labels: the last two carry most 17-character numbers. */
const FORMATS = ["qr_code", "data_matrix", "code_39", "code_128"];
const LONGEST = 60; // what the field takes
/** The alphabet of 49 CFR 565.15: no I, O, Q. Some makers' codes begin with an I that is no part of it. */
const NUMBER = /(?:^|[^A-Z0-9])I?([A-HJ-NPR-Z0-9]{17})(?![A-Z0-9])/g;

export function detectorHere(): DetectorMaker | null {
  return (globalThis as { BarcodeDetector?: DetectorMaker }).BarcodeDetector ?? null;
}

/** What the codes in a picture say; empty where there is none, null where it cannot be read. */
export async function codesIn(picture: Blob, maker: DetectorMaker): Promise<string[] | null> {
  let bitmap: ImageBitmap | null = null;
  try {
    const known = await maker.getSupportedFormats();
    const formats = FORMATS.filter((one) => known.includes(one));
    if (formats.length === 0) return null;
    bitmap = await createImageBitmap(picture);
    const found = await new maker({ formats }).detect(bitmap);
    return found.map((one) => one.rawValue);
  } catch (error) {
    // Some browsers have the name and, for want of a service of the phone's, not the matter.
    if (!(error instanceof DOMException || error instanceof TypeError)) throw error;
    return null;
  } finally {
    bitmap?.close();
  }
}

/** Numbers that codes may mean, the likeliest first: a 17-character one, within an address or with a
 *  scanner's sign before it, else the whole text where the field takes it. */
export function numbersIn(codes: readonly string[]): string[] {
  const found = codes
    .flatMap((code) => [...code.toUpperCase().matchAll(NUMBER)].map((match) => match[1]!))
    .filter((number) => /\d/.test(number));
  const whole = codes.map((code) => code.trim()).filter((code) => code && code.length <= LONGEST);
  const rest = whole.filter((code) => !found.some((one) => code.toUpperCase().includes(one)));
  return [...new Set([...found, ...rest])];
}
