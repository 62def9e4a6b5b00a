/* The way to the motion sensor: asked for inside the tap, listened to only while it is wanted. */

export type Asked = "granted" | "denied" | "absent";
type Asking = { requestPermission?: () => Promise<"granted" | "denied"> };

/** Call it before anything is awaited in a tap's handler: browsers that ask refuse it elsewhere. */
export async function askForMotion(): Promise<Asked> {
  if (typeof DeviceMotionEvent === "undefined") return "absent";
  const { requestPermission } = DeviceMotionEvent as unknown as Asking;
  if (!requestPermission) return "granted";
  try {
    return await requestPermission.call(DeviceMotionEvent);
  } catch (error) {
    if (error instanceof DOMException) return "denied";
    throw error;
  }
}

/** Hands every event on until the answer is called. */
export function listen(hear: (event: DeviceMotionEvent) => void): () => void {
  window.addEventListener("devicemotion", hear);
  return () => window.removeEventListener("devicemotion", hear);
}
