import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { nameDay, nameMoment, readClock, readMoment } from "../../controller/cli/absence/moments.ts";
import { evenbrine, talkWith } from "../init/keeper.ts";
import { type Program, startProgram } from "../system/rig/program.ts";

/** Noon of a Tuesday, at this place. */
const CLOCK = new Date(2027, 1, 2, 12, 0).getTime();

describe("a moment as it is typed", () => {
  it.each([
    ["now", 0, 0],
    ["in 14 days", 336, 336],
    ["In 1 day", 24, 24],
    ["in 36 hours", 36, 36],
    ["in 2 weeks", 336, 336],
    // From noon of the 2nd: 12 h to the first minute of the 3rd, 35 h 59 min to its last.
    ["2027-02-03", 12, 35 + 59 / 60],
    ["2027-02-03 18:30", 30.5, 30.5],
    ["2027-02-03T18:30", 30.5, 30.5],
    // Today: from now on, and until its last minute.
    ["2027-02-02", 0, 11 + 59 / 60],
    ["2027-02-01 12:00", -24, -24],
  ])("%s at noon of 2 February: %d h as the beginning, %d h as the end", (typed, first, last) => {
    expect(readMoment(typed, "first", CLOCK)).toEqual({ hours: expect.closeTo(first, 6) });
    expect(readMoment(typed, "last", CLOCK)).toEqual({ hours: expect.closeTo(last, 6) });
  });

  it.each([
    "",
    "some day",
    "14",
    "3/4/2027",
    "2027-02-30",
    "2027-13-01",
    "2027-02-03 25:00",
    "in -1 days",
    "in 99999 days",
  ])("“%s”: refused, with what is expected", (typed) => {
    expect(readMoment(typed, "first", CLOCK)).toEqual({
      refused: expect.stringMatching(/will not do: expected “now”/),
    });
  });

  it("clock never set: a date is refused and says what to say instead; “in 14 days” is taken", () => {
    for (const said of ["", "nonsense", "1970-01-01T00:02:00Z", "2024-12-31T00:00:00Z"])
      expect(readClock(said)).toBeNull();
    expect(readMoment("2027-02-03", "first", null)).toEqual({
      refused: expect.stringMatching(/clock was never set.*“in 14 days”/),
    });
    expect(readMoment("in 14 days", "last", null)).toEqual({ hours: 336 });
  });

  it("clock set: read; days are named by it", () => {
    expect(readClock(new Date(CLOCK).toISOString())).toBe(CLOCK);
    expect([nameDay(0.5, CLOCK), nameDay(24, CLOCK)]).toEqual(["now", expect.stringMatching(/^on Wed,? 3 February$/)]);
    expect(nameMoment(new Date(CLOCK).toISOString())).toMatch(/2 February.*12:00/);
  });
});

describe("evenbrine absence and sitter-sheet beside a running controller", () => {
  let program: Program;
  let folder = "";
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-absence-"));
    program = await startProgram("reef-box", "--data", join(folder, ".evenbrine"));
    await program.untilTopic("scan/board", "ready", 30_000);
  }, 90_000);
  afterAll(async () => {
    await program?.end("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  });
  const ask = (...words: string[]) => evenbrine(folder, words);

  // The rehearsal's 10 L at 1.5 ± 0.36 L a day and more: five days at least, so two refills in fourteen days.
  it("nobody to ask, no --yes: the answer, verdict first; exit 1, nothing told", async () => {
    const { code, out, err } = await ask("absence", "--to", "in 14 days");
    expect(out).toMatch(/^2 things run out or fall due before you are back, and somebody must come/);
    expect(out).toMatch(/Before you leave:\n- [\s\S]*The reservoir holds 10 L[^-]*Have it refilled 2\s+times/);
    expect(out).toMatch(/This lasts:\n- The calibration of the conductivity probe/);
    expect([code, err]).toEqual([1, expect.stringMatching(/Nothing was told .* --yes/)]);
    await program.untilTopic("absence/state", "none");
  }, 60_000);

  it.each([
    [["--from", "in 5 days", "--to", "in 4 days"], /ends before it begins/],
    [["--to", "in 90 days"], /lasts from 1 hour to 60 days/],
    [["--to", "2020-01-01"], /ends before it begins/],
    [["--to", "whenever"], /“whenever” will not do: expected “now”/],
  ])(
    "%j --yes: exit 1, refused with the range, before any answer",
    async (flags, why) => {
      const { code, out, err } = await ask("absence", ...flags, "--yes");
      expect([code, out, err]).toEqual([1, "", expect.stringMatching(why)]);
      expect(err).not.toMatch(/\n\s+at /);
    },
    60_000,
  );

  it("--yes: told, shown on the topics; a second one refused; --back: over, a second time refused", async () => {
    expect(await ask("absence", "--to", "in 2 days", "--yes")).toMatchObject({
      code: 0,
      out: expect.stringMatching(/Noted\./),
    });
    await program.untilTopic("absence/state", "lasting");
    expect((await ask("absence", "--to", "in 3 days", "--yes")).err).toMatch(/Refused\. An absence stands already/);
    expect((await ask("absence")).out).toMatch(/An absence is lasting, until /);
    expect((await ask("status")).out).toMatch(/^Absence +lasting +until /m);
    expect((await ask("absence", "--back")).out).toMatch(/Welcome back/);
    expect((await ask("absence", "--back")).err).toMatch(/No absence stands/);
  }, 120_000);

  it("asked at a terminal: no tells nothing; yes tells it", async () => {
    const no = talkWith(folder, ["absence", "--to", "in 1 day"]);
    await no.answers(["no"]);
    expect(await no.ended()).toBe(1);
    const yes = talkWith(folder, ["absence", "--to", "in 1 day"]);
    await yes.answers(["yes"]);
    expect(await yes.ended()).toBe(0);
    await program.untilTopic("absence/state", "lasting");
    expect((await ask("absence", "--back")).code).toBe(0);
  }, 180_000);

  it("sitter-sheet: how the box is and whom to call, on one page; six names: exit 1", async () => {
    const { code, out } = await ask("sitter-sheet", "--call", "Kim 555 0123", "--svg", "sheet.svg");
    expect([code, out]).toEqual([0, expect.stringMatching(/Temperature +\d+\.\d ± \d\.\d °C/)]);
    expect(readFileSync(join(folder, "sheet.svg"), "utf8")).toMatch(/^<svg .*Kim 555 0123/s);
    const names = Array.from({ length: 6 }, (_, index) => `Kim ${index}`);
    expect(await ask("sitter-sheet", "--call", ...names)).toMatchObject({
      code: 1,
      err: expect.stringMatching(/At most five/),
    });
  }, 90_000);
});
