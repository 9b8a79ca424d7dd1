import { expect, test } from "vitest";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { Box, type Sight } from "./box.ts";

/**
 * When the return pump stands, the water of the display runs back and lifts the working float, whatever is missing from
 * the box. Only water that reads full in flow says that nothing is owed any more.
 */
const LOW: Sight = { "working-float": "dry", "return-sensor": "there" };
const SURGE: Sight = { "working-float": "wet", "return-sensor": "gone" };

const isTold = (box: Box, id: string): boolean => box.record.alarms.some((alarm) => alarm.id === id && alarm.active);

/** Low, with 1.5 L owed that an empty reservoir has kept back for a day. */
function boxThatOwes(): Box {
  const box = Box.atRest({ ...LOW, "reservoir-float": "dry" });
  return box.remembers(TOP_OFF, { dueUl: 1.5e6, reservoirUl: 0 }).after(5);
}

test("water full in flow for its confirm time: nothing is owed any more, and the alarm ends", () => {
  const box = boxThatOwes();
  expect(isTold(box, "top-off-withheld")).toBe(true);
  box.sees({ "working-float": "wet" }).after(2);
  expect(box.record.topOff.dueL).toBe(0);
  expect(isTold(box, "top-off-withheld")).toBe(false);
});

test("water full while the return pump stands for 10 min: the litres stay owed, and the alarm stays", () => {
  const box = boxThatOwes().sees(SURGE).after(10);
  expect(box.record.topOff.dueL).toBeGreaterThan(1.5);
  expect(isTold(box, "top-off-withheld")).toBe(true);
});

test("water still full in the first minutes after the return pump has started: the litres stay owed", () => {
  const box = boxThatOwes().sees(SURGE).after(10).sees({ "return-sensor": "there" }).after(4);
  expect(box.record.topOff.dueL).toBeGreaterThan(1.5);
  box.after(2);
  expect(box.record.topOff.dueL).toBe(0);
});

test("water full with a return sensor that says nothing: the litres stay owed", () => {
  const box = boxThatOwes().sees({ "working-float": "wet", "return-sensor": "nothing" }).after(10);
  expect(box.record.topOff.dueL).toBeGreaterThan(1.5);
});

test("refilled after a stop of the return pump: the owed 1.5 L are poured without a failed pour", () => {
  const box = boxThatOwes().sees(SURGE).after(10);
  box.sees({ ...LOW, "reservoir-float": "wet" }).asks({ kind: "refill", litres: 10, at: "tank" });
  box.until(({ record }) => record.topOff.pouredSinceFullL > 1.5, 90);
  expect(box.record.topOff.failures).toBe(0);
});
