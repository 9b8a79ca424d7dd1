import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { describeWith } from "../system/rig/tools.ts";
import { evenbrine } from "./keeper.ts";

/** A new keeper, an empty folder, and the commands of the README in their order. */

/** What is typed for a box with a board on standard firmware, an NTC and a heater; an empty line takes the usual. */
const answers = (port: string): string[] => [
  "Test box",
  "a hundred and forty", // refused, asked again
  "140 L",
  "", // 25 °C
  "", // 35
  "", // a board
  port,
  "standard",
  "", // working float on 2
  "", // high float on A2
  "none", // low float
  "", // reservoir float on 4
  "", // floor sensor on 5
  "none", // mains sensor
  "none", // return-pump sensor
  "", // top-off
  ...["", "", "", ""], // pump on 8, guard on 9, both closed by high
  "250 x 80",
  "", // 5 mm
  "60",
  "70",
  "750",
  "1,5",
  "10.5",
  "4.4",
  "12", // more than the box can take
  "no",
  "4",
  "ntc",
  "A0",
  "",
  "none",
  "none",
  "none", // conductivity
  "", // heater
  ...["", "", "", ""], // heater on 10, guard on 11, both closed by high
  "200",
  "", // pinned chamber
  "yes",
  "",
  "",
  "attended",
  "",
  "", // write
];

const lines = (typed: readonly string[]): string => `${typed.join("\n")}\n`;

describe("the questionnaire at a terminal", () => {
  let folder = "";
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-init-"));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it("writes a file that can be used, shows the budget and the next steps", async () => {
    const { code, out, err } = await evenbrine(folder, ["init"], lines(answers("/dev/ttyACM0")));
    expect(err).toBe("");
    expect(code).toBe(0);
    expect(readdirSync(folder)).toEqual(["settings.json"]);
    expect(out).toMatch(/kill/);
    expect(out).toMatch(/“a hundred and forty” will not do: expected a number from 20 to 2000, in L/);
    expect(out).toMatch(/at most 4\.1 L of fresh water at worst/);
    expect(out.replace(/\s+/g, " ")).toMatch(/Next: 1\. evenbrine wiring .*Proving.*first night alone/);
    const { code: checked, out: said } = await evenbrine(folder, ["check", "settings.json"]);
    expect(checked).toBe(0);
    expect(said).toMatch(/can be used.*the reservoir holds 4\.0 L/s);
  });

  it("asks before it replaces a file, and leaves it as it was when told so", async () => {
    writeFileSync(join(folder, "settings.json"), "mine");
    const other = lines(["no", "other.json", ...answers("/dev/ttyACM0")]);
    expect((await evenbrine(folder, ["init"], other)).code).toBe(0);
    expect(readFileSync(join(folder, "settings.json"), "utf8")).toBe("mine");
    expect(readdirSync(folder).sort()).toEqual(["other.json", "settings.json"]);
    expect((await evenbrine(folder, ["init"], lines(["yes", ...answers("/dev/ttyACM0")]))).code).toBe(0);
    expect(JSON.parse(readFileSync(join(folder, "settings.json"), "utf8")).version).toBe(1);
  });

  it.each([
    ["nothing was typed", []],
    ["it ends in the middle", answers("/dev/ttyACM0").slice(0, 20)],
    ["it ends before the last yes", answers("/dev/ttyACM0").slice(0, -1)],
  ])("writes nothing when %s", async (_name, typed) => {
    const { code, err } = await evenbrine(folder, ["init"], typed.length === 0 ? "" : lines(typed));
    expect(code).toBe(1);
    expect(err).toMatch(/Nothing was written/);
    expect(err).not.toMatch(/\n\s+at /);
    expect(readdirSync(folder)).toEqual([]);
  });

  it("writes nothing when the last answer is no", async () => {
    const { code, out } = await evenbrine(folder, ["init"], lines([...answers("/dev/ttyACM0").slice(0, -1), "no"]));
    expect([code, out.trim().split("\n").at(-1)]).toEqual([1, "Nothing was written."]);
    expect(readdirSync(folder)).toEqual([]);
  });

  it("says so when the folder is not there, before it asks anything", async () => {
    const { code, out, err } = await evenbrine(
      folder,
      ["init", "absent/settings.json"],
      lines(answers("/dev/ttyACM0")),
    );
    expect([code, out]).toEqual([1, ""]);
    expect(err).toMatch(/no folder absent/);
  });
});

describe("the wiring sheet at a terminal", () => {
  let folder = "";
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-wiring-"));
    await evenbrine(folder, ["init"], lines(answers("/dev/ttyACM0")));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("is printed, and drawn where it is told to", async () => {
    const { code, out } = await evenbrine(folder, ["wiring", "settings.json", "--svg", "sheet.svg"]);
    expect(code).toBe(0);
    expect(out).toMatch(/working-float {2,}closed when the water is low/);
    expect(readFileSync(join(folder, "sheet.svg"), "utf8")).toMatch(/^<svg .*<\/svg>\n$/s);
    const { out: drawn } = await evenbrine(folder, ["wiring", "settings.json", "--svg", "-"]);
    expect(drawn).toMatch(/^<svg .*<\/svg>\s*$/s);
  });

  it.each([
    ["over the settings themselves", ["settings.json", "--svg", "./settings.json"], /take the place of the settings/],
    ["into a folder that is not there", ["settings.json", "--svg", "absent/sheet.svg"], /cannot be written/],
    ["of a file that is not there", ["absent.json"], /no such file/],
    ["of no file", [], /missing required argument/],
  ])("is refused %s", async (_name, words, expected) => {
    const before = readFileSync(join(folder, "settings.json"), "utf8");
    const { code, err } = await evenbrine(folder, ["wiring", ...words]);
    expect(code).toBe(1);
    expect(err).toMatch(expected);
    expect(err).not.toMatch(/\n\s+at /);
    expect(readFileSync(join(folder, "settings.json"), "utf8")).toBe(before);
  });
});

describeWith(EMULATED_BOARD_TOOLS, "from an empty folder to floats that are seen", () => {
  const PINS = { working: 2, high: 16, reservoir: 4, floor: 5, thermistor: 14 };
  let folder = "";
  let board: EmulatedBoard;
  let program: Program | undefined;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-new-"));
    // Full, dry, with water in the reservoir and none on the floor; half of the supply is an NTC at 25 °C.
    board = await startEmulatedBoard({ closed: [PINS.high, PINS.reservoir, PINS.floor] });
    await board.volts(PINS.thermistor, 2.5);
  });
  afterAll(async () => {
    await program?.end("SIGKILL");
    await board?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  it("leads through questionnaire, wiring sheet and check", async () => {
    expect((await evenbrine(folder, ["init", "settings.json"], lines(answers(board.path)))).code).toBe(0);
    expect((await evenbrine(folder, ["wiring", "settings.json", "--svg", "sheet.svg"])).code).toBe(0);
    expect((await evenbrine(folder, ["check", "settings.json"])).code).toBe(0);
  });

  it("runs, sees every float as it stands, and switches nothing on that is not proven", async () => {
    program = await startProgram("test-box", join(folder, "settings.json"), "--data", join(folder, "data"));
    await program.untilTopic("scan/board", "ready", 20_000);
    await program.untilTopic("working-float/position", "full", 10_000);
    await program.untilTopic("high-float/position", "dry");
    await program.untilTopic("reservoir-float/position", "has-water");
    await program.untilTopic("floor-sensor/position", "dry");
    await program.untilTopic("temperature/value", /^2[45]\./, 10_000);
    for (const pin of [8, 9, 10]) expect(board.level(pin)).not.toBe("high");
  });

  it("sees each of them lifted and let go", async () => {
    const seen: [part: string, pin: number, closed: string, open: string][] = [
      ["high-float", PINS.high, "dry", "wet"],
      ["reservoir-float", PINS.reservoir, "has-water", "empty"],
      ["floor-sensor", PINS.floor, "dry", "wet"],
    ];
    for (const [part, pin, closed, open] of seen) {
      await board.contact(pin, "open");
      await program?.untilTopic(`${part}/position`, open);
      await board.contact(pin, "closed");
      await program?.untilTopic(`${part}/position`, closed, 15_000);
    }
    await board.contact(PINS.working, "closed");
    await program?.untilTopic("working-float/position", "low", 15_000);
    expect(await program?.end("SIGINT")).toBe(0);
    program = undefined;
  });
});
