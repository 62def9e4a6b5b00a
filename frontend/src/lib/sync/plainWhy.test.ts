import { expect, test } from "vitest";
import { plainWhy } from "./plainWhy.ts";

test.each([
  [
    "body.label: write a text of at most 120 characters.",
    "What to call it: write a text of at most 120 characters.",
  ],
  ["body.header.stops[2]: it is not known.", "It is not known."],
  ["That picture is damaged.", "That picture is damaged."],
])("%s", (why, said) => expect(plainWhy(why)).toBe(said));
