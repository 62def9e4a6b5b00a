/* A picture of a hundred megapixels in a row of small ones: only a small one is drawn. */

const WIDEST_PX = 320;
const QUALITY = 0.8;

/** At most 320 px wide, or null where this browser cannot read the picture. */
export async function thumbnailOf(picture: Blob): Promise<Blob | null> {
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(picture, { resizeWidth: WIDEST_PX, resizeQuality: "low" });
  } catch (error) {
    if (error instanceof DOMException || error instanceof TypeError) return null;
    throw error;
  }
  const canvas = document.createElement("canvas");
  // A narrow scroll of a picture is long once it is 320 wide.
  const scale = Math.min(1, WIDEST_PX / bitmap.height);
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  canvas.getContext("2d")?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
}
