import assert from "node:assert/strict";
import { test } from "node:test";
import { inUnits, ounces, takeUs } from "../src/units.ts";

// As src/job/record/units.rs: 0 °C are 32 °F and 205 °C 401 °F by definition, 138 kPa are 20.0 psi; 1 US fl oz is 231/128 cubic inches.
test("texts and sums in units of the US, as the program has them", () => {
  const text = "at 103 kPa (15.0 psi), of 138 kPa: DOT 3 (205 °C dry, 0 °C wet), -40 °C";
  assert.equal(inUnits(text), text);
  assert.equal(ounces(584), "");
  takeUs(true);
  assert.equal(inUnits(text), "at 15.0 psi, of 20.0 psi: DOT 3 (401 °F dry, 32 °F wet), -40 °F");
  assert.equal(ounces((100 * 231 * 16.387064) / 128), " (100.0 US fl oz)");
  takeUs(false);
});
