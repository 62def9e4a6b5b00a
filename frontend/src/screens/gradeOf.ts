/* Grade, guide and lengths from whichever engine can be asked: this phone's, else the server's. It is the same. */
import { SignedOut } from "../lib/api/call.ts";
import type { Assessment, Guide, InspectionRecord, PhotoLength } from "../lib/documents.ts";
import { phoneGrade, type Problems, serverGrade } from "../lib/engine/grade.ts";
import { phoneMeasure, type PhotoQuestion, serverMeasure } from "../lib/engine/measure.ts";
import { NoEngine } from "../lib/engine/phoneEngine.ts";
import { phoneGuide, serverGuide } from "../lib/guide/guides.ts";
import { phone } from "../phone.svelte.ts";

/** Throws NoConnection, SignedOut or Refused where neither can be asked. */
export function gradeOf(record: InspectionRecord): Promise<Assessment | Problems> {
  return hereOrThere(phoneGrade(phone.engine), serverGrade(phone.server), record);
}

/** Throws like `gradeOf`. */
export function guideOf(record: InspectionRecord): Promise<Guide | null> {
  return hereOrThere(phoneGuide(phone.engine), serverGuide(phone.server), record);
}

/** Throws like `gradeOf`. */
export function measureOf(question: PhotoQuestion): Promise<PhotoLength | null> {
  return hereOrThere(phoneMeasure(phone.engine), serverMeasure(phone.server), question);
}

type Ask<Q, T> = (question: Q) => Promise<T>;

async function hereOrThere<Q, T>(here: Ask<Q, T>, there: Ask<Q, T>, question: Q): Promise<T> {
  if (phone.engine.isHere) {
    try {
      return await here(question);
    } catch (error) {
      if (!(error instanceof NoEngine)) throw error;
    }
  }
  return inAnySession(() => there(question));
}

/** Grade and guide keep nothing, so any session will do: where a private one has ended, a fresh one is
 *  begun. The queue stays shut for it, so what is unsent stays on this desk. */
async function inAnySession<T>(ask: () => Promise<T>): Promise<T> {
  await phone.privately();
  try {
    return await ask();
  } catch (error) {
    if (!(error instanceof SignedOut && phone.owner?.silent)) throw error;
  }
  await phone.server.signInPrivately();
  return ask();
}
