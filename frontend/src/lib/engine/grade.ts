/* The grade. Whoever computes it, the screens ask here. */
import { NoConnection, Refused, type Server } from "../api/call.ts";
import type { Assessment, InspectionRecord } from "../documents.ts";
import type { PhoneEngine } from "./phoneEngine.ts";

export interface Problems {
  problems: { path: string; what: string }[];
}
export type Grade = (record: InspectionRecord) => Promise<Assessment | Problems>;

/** This phone's engine. Throws NoEngine where it cannot answer. */
export function phoneGrade(engine: PhoneEngine): Grade {
  return async (record) => {
    const answer = await engine.ask("assess", JSON.stringify(record));
    if ("refused" in answer) return { problems: answer.refused };
    return JSON.parse(answer.text) as Assessment;
  };
}

/** The server's engine. Throws NoConnection where it cannot be reached. */
export function serverGrade(server: Server): Grade {
  return async (record) => {
    try {
      const body = await server.call("/api/assess", { method: "POST", json: record });
      if (!isAssessment(body)) throw new NoConnection("Something else than the engine answered.");
      return body;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      const problems = Object.entries(error.fields).map(([path, what]) => ({ path, what }));
      return { problems: problems.length > 0 ? problems : [{ path: "", what: error.message }] };
    }
  };
}

function isAssessment(body: unknown): body is Assessment {
  return (body as { format?: unknown } | null)?.format === "suspension-assessment/1";
}
