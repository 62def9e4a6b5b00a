import { expect, test } from "vitest";
import { usualRole } from "./setup.ts";

test("who takes a machine in, hands it out or takes it back is what the purpose says", () => {
  expect(usualRole("intake", null)).toBe("shop");
  expect(usualRole("going_out", "shop")).toBe("yard");
  expect(usualRole("coming_back", null)).toBe("yard");
});

test("a purchase or a periodic look says nothing of the one who looks: it is who they are", () => {
  expect(usualRole("purchase", "buyer")).toBe("buyer");
  expect(usualRole("periodic", "yard")).toBe("yard");
  expect(usualRole("purchase", null)).toBeNull();
});
