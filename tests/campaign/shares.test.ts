import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { HEALTHY_EXPECTATIONS } from "../../controller/rehearsal/healthy/expectations.ts";
import { taskFrom } from "./arguments.ts";
import { joinShares, readShare, type ShareFile, shareFrom, WHOLE, weeksOf, writeShare } from "./shares.ts";

const folder = mkdtempSync(join(tmpdir(), "shares-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const share = (place: number, of: number, weeks = 10, more: Partial<ShareFile> = {}): ShareFile => ({
  campaign: "faults",
  seed: 1,
  weeks,
  share: { place, of },
  judged: weeksOf(weeks, { place, of }).map((week) => ({ week, campaignSeed: 1, digest: `d${week}`, cpuS: 1 })),
  ...more,
});

describe("a share of a campaign", () => {
  it("3/8: the third of eight; 0/8, 9/8, words: none", () => {
    expect(shareFrom("3/8")).toEqual({ place: 3, of: 8 });
    for (const wrong of ["0/8", "9/8", "3", "3/", "/8", "a/b", "1/2000", "-1/8", "1.5/8"]) {
      expect(shareFrom(wrong), wrong).toBeNull();
    }
  });

  it("1, 2, 3, 8 or 13 shares of 24 weeks: every week once", () => {
    for (const of of [1, 2, 3, 8, 13]) {
      const all = Array.from({ length: of }, (_, place) => weeksOf(24, { place: place + 1, of })).flat();
      expect(all.sort((a, b) => a - b)).toEqual(weeksOf(24, WHOLE));
    }
  });

  it("five shares of 24 weeks: equally long to a week", () => {
    const lengths = [1, 2, 3, 4, 5].map((place) => weeksOf(24, { place, of: 5 }).length);
    expect(Math.max(...lengths) - Math.min(...lengths)).toBeLessThanOrEqual(1);
  });

  it("three files, written and read in any order: all ten weeks in order", () => {
    const files = [2, 1, 3].map((place) => {
      const path = join(folder, `share-${place}.json`);
      writeShare(path, share(place, 3));
      return path;
    });
    const { judged, missing, weeks } = joinShares(files.map(readShare));
    expect(judged.map(({ week }) => week)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(missing).toEqual([]);
    expect(weeks).toBe(10);
  });

  it("one of three missing: its weeks named", () => {
    expect(joinShares([share(1, 3), share(3, 3)]).missing).toEqual([1, 4, 7]);
  });

  it.each([
    ["another seed", [share(1, 2), share(2, 2, 10, { seed: 2 })], /seed 1.*seed 2/],
    ["another number of weeks", [share(1, 2), share(2, 2, 12)], /10 weeks.*12 weeks/],
    ["another campaign", [share(1, 2), share(2, 2, 10, { campaign: "healthy" })], /faults.*healthy/],
    ["the same share twice", [share(1, 2), share(1, 2)], /week 0 is there twice/],
    ["nothing", [], /nothing to join/],
  ])("joined with %s: refused, with the reason", (_, files, why) => {
    expect(() => joinShares(files)).toThrow(why);
  });

  it.each([
    ["cut off", '{"campaign":"faults","seed":1', /cut\.json cannot be read/],
    ["of something else", '{"name":"a report"}', /cut\.json is no share of a campaign/],
    ["with a week that is none", JSON.stringify({ ...share(1, 1), judged: [{ week: -1 }] }), /judged\.0\.week/],
  ])("file %s: refused by its name", (_, text, why) => {
    const path = join(folder, "cut.json");
    writeFileSync(path, text);
    expect(() => readShare(path)).toThrow(why);
  });

  it("no file: refused by its name", () => {
    expect(() => readShare(join(folder, "none.json"))).toThrow(/none\.json cannot be read/);
  });
});

describe("the words of the command", () => {
  it("nothing said: the fixed weeks of the tests, all scenarios", () => {
    expect(taskFrom([])).toEqual({ do: "live", name: "faults", weeks: 24, seed: 1 });
    expect(taskFrom(["--healthy"])).toEqual({ do: "live", name: "healthy", weeks: 12, seed: 1 });
    const rows = HEALTHY_EXPECTATIONS.flatMap((chapter) => chapter.rows).length;
    expect(taskFrom(["--scenarios"])).toEqual({ do: "live", name: "scenarios", weeks: rows, seed: 1 });
  });

  it("new weeks, a share of them, a table of shares, one week again: as asked", () => {
    expect(taskFrom(["--weeks", "500", "--seed", "4"])).toMatchObject({ do: "live", weeks: 500, seed: 4 });
    expect(taskFrom(["--healthy", "--weeks", "1000", "--share", "3/8"])).toMatchObject({
      do: "share",
      name: "healthy",
      share: { place: 3, of: 8 },
      to: "campaign-healthy-seed-1-weeks-1000-share-3-of-8.json",
    });
    expect(taskFrom(["--join", "a.json", "b.json"])).toEqual({ do: "join", files: ["a.json", "b.json"] });
    expect(taskFrom(["--week", "7", "--seed", "2", "--write", "f.json"])).toEqual({
      do: "replay",
      name: "faults",
      week: 7,
      seed: 2,
      write: "f.json",
    });
  });

  it.each([
    [["--weeks", "0"]],
    [["--weeks", "many"]],
    [["--seed", "-1"]],
    [["--share", "9/8"]],
    [["--join"]],
    [["--healthy", "--scenarios"]],
    [["--weks", "3"]],
    [["a.json"]],
  ])("%j: refused, with the usage", (words) => {
    expect(() => taskFrom(words)).toThrow(/--share 3\/8/);
  });
});
