import { describe, expect, it } from "vitest";
import { isNews } from "../../controller/publish/news.ts";

const T = "homie/5/reef-box";

describe("whether a change of a topic is published", () => {
  it.each([
    ["the same", `${T}/heat/state`, "off", "off", 1e9, false],
    ["another word, at once", `${T}/heat/state`, "off", "heating", 0, true],
    ["a step of a value, at once", `${T}/temperature/value`, "25.01", "25.03", 0, true],
    ["a wobble of its last digit", `${T}/temperature/value`, "25.01", "25.02", 4_999, false],
    ["the wobble, in the end", `${T}/temperature/value`, "25.01", "25.02", 5_000, true],
    ["a wobble over a tens digit", `${T}/temperature/value`, "24.99", "25.00", 4_999, false],
    ["a wobble in thousandths", `${T}/conductivity/value`, "53.123", "53.122", 0, false],
    ["a count is no wobble", `${T}/top-off/latch-number`, "3", "4", 0, true],
    ["a value that is lost", `${T}/temperature/value`, "25.01", "", 0, true],
    ["a value that comes back", `${T}/temperature/value`, "", "25.01", 0, true],
    ["the clock within the second", `${T}/box/clock`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:01Z", 999, false],
    ["the clock each second", `${T}/box/clock`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:01Z", 1_000, true],
    ["measured again", `${T}/room/measured-at`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:04Z", 4_000, false],
    ["measured again, later", `${T}/room/measured-at`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:05Z", 5_000, true],
    ["the same moment, reckoned anew", `${T}/hold/until`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:01Z", 1e9, false],
    ["another moment", `${T}/hold/until`, "2026-03-01T12:00:00Z", "2026-03-01T12:00:03Z", 0, true],
  ])("%s: %s from %s to %s after %d ms: %s", (_, topic, before, now, sinceMs, expected) => {
    expect(isNews(topic, before, now, sinceMs)).toBe(expected);
  });
});
