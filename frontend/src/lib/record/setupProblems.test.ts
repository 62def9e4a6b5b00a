import { expect, test } from "vitest";
import { labelOf } from "./called.ts";
import { headerOf } from "./record.ts";
import { emptySetup } from "./setup.ts";
import { setupProblems } from "./setupProblems.ts";

const setup = emptySetup(new Date(2026, 4, 14), {
  units: "us",
  name: "",
  role: null,
  purpose: "purchase",
});
const named = (part: Partial<typeof setup>) =>
  setupProblems({ ...setup, ...part }).map((one) => one.name);

test.each([
  [{ distance: "4,200" }, ["Distance on the clock"]],
  [{ distance: "-5" }, ["Distance on the clock"]],
  [{ distance: "4200 to 4300" }, ["Distance on the clock"]],
  [{ since_distance: "many" }, ["Distance since the service"]],
  [{ since_distance: "many", since_unknown: true }, []],
  [{ since_seasons: "two" }, ["Seasons since the service"]],
  [{ price: "-100" }, ["Asking price"]],
  [{ price: "$14,500" }, []],
  [{ price: "$14,500", currency: "EUR" }, ["Asking price"]],
  [{ price: "-100", purpose: "periodic" }, []],
  [{ model_year: "2o19" }, ["Model year"]],
  [{ model_year: "1949" }, ["Model year"]],
  [{ label: "x".repeat(121) }, ["What to call it"]],
  [{ label: "x".repeat(120), distance: "4200", price: "14,500", model_year: "2019" }, []],
])("%j", (part, names) => expect(named(part)).toEqual(names));

test("a year that is none is not part of the name", () => {
  const wrong = { ...setup, kind: "quad", model_year: "2o19" };
  expect(labelOf(wrong)).toBe("Quad");
  expect(headerOf(wrong)?.machine).not.toHaveProperty("model_year");
  expect(labelOf({ ...wrong, model_year: "2019" })).toBe("2019 quad");
});
