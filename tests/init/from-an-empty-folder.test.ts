import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openDurableMemory } from "../../controller/record/index.ts";
import type { StoredMemory } from "../../controller/scan/memory.ts";
import { loadSettings } from "../../controller/settings/load.ts";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause } from "../system/rig/until.ts";
import { CTRL_C, evenbrine, type Talked, talkWith } from "./keeper.ts";

/** A new keeper, an empty folder, and the commands of the README in their order. */

/** What is typed for a box with a board on standard firmware, an NTC and a heater; an empty line takes the usual. */
const answers = (port: string): string[] => [
  "", // metric
  "Test box",
  "a hundred and forty", // refused, asked again
  "140 L",
  "", // 25 °C
  "", // 35
  ...["", ""], // pump and heater
  port,
  "standard",
  "reservoir floor",
  "", // usual pins: working float 2, high float A2, reservoir float 4, floor sensor 5
  "ntc",
  ...["A0", "", "", ""],
  ...["none", "none"],
  "none", // conductivity
  ...["", "", ""], // rooms and return pump
  "", // one heater
  ...["", ""], // heater on 10, guard on 11
  "200",
  "", // pinned chamber
  "yes",
  ...["", ""], // pump on 8, guard on 9
  "", // measures now
  "250 x 80",
  "730 x 480",
  "", // 5 mm
  "60",
  "70",
  "750",
  "1,5",
  "10.5 L",
  "4.4",
  "12", // more than the box can take
  "4",
  "", // nothing else
  "attended",
  "",
  "", // write
];

describeWith(["python3"], "the questionnaire at a terminal", () => {
  let folder = "";
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-init-"));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  const initialise = async (lines: readonly string[]) => {
    const keeper = talkWith(folder, ["init"]);
    await keeper.answers(lines);
    return { code: await keeper.ended(), said: keeper.said() };
  };

  it("every answer, two refused at first: exit 0, file that check accepts, litres and next steps told", async () => {
    const { code, said } = await initialise(answers("/dev/ttyACM0"));
    expect(code).toBe(0);
    expect(readdirSync(folder)).toEqual(["settings.json"]);
    expect(said).toMatch(/kill/);
    expect(said).toMatch(/“a hundred and forty” will not do: expected 20 L to 2000 L/);
    expect(said).toMatch(/at most 4\.1 L of fresh water at worst/);
    expect(said).toMatch(/“12” will not do: expected 0\.5 L to 4\.1 L/);
    expect(said).toMatch(/Next: 1\. evenbrine wiring .*evenbrine prove.*first night alone/);
    const { code: checked, out } = await evenbrine(folder, ["check", "settings.json"]);
    expect(checked).toBe(0);
    expect(out).toMatch(/can be used.*Reservoir: 4 L, 2\.7 days/s);
  });

  it("?: explained, asked again; back: the question before, its answer offered; Ctrl-C: exit 1, answers kept", async () => {
    const keeper = talkWith(folder, ["init"]);
    await keeper.answers(["us", "Bay"]);
    await keeper.hears(/›/);
    keeper.type("?");
    await keeper.hears(/Rock, sand and the air.*Expected: 5\.3 US gal to 528\.3 US gal, or length x width x height.*›/);
    keeper.type("back");
    await keeper.hears(/What is the tank called: \[Bay\]/);
    keeper.type("");
    await keeper.hears(/Water in display.*›/);
    keeper.press(CTRL_C);
    await keeper.hears(/no answer is lost: 2 are kept/);
    expect(await keeper.ended()).toBe(1);
    expect(readdirSync(folder)).toEqual(["settings.json.answers"]);
  });

  it("Ctrl-C after 20 answers, then the same command: goes on after them, exit 0", async () => {
    const all = answers("/dev/ttyACM0");
    const first = talkWith(folder, ["init"]);
    await first.answers(all.slice(0, 20));
    await first.hears(/›/);
    first.press(CTRL_C);
    await first.hears(/\d+ are kept/);
    expect(await first.ended()).toBe(1);
    expect(readdirSync(folder)).toEqual(["settings.json.answers"]);
    const { code, said } = await initialise(["", ...all.slice(20)]);
    expect(code).toBe(0);
    expect(said).toMatch(/answers are kept from last time/);
    expect(said).not.toMatch(/What is the tank called/);
    expect(readdirSync(folder)).toEqual(["settings.json"]);
  });

  it("last answer no: exit 1, no settings, answers kept", async () => {
    const { code, said } = await initialise([...answers("/dev/ttyACM0").slice(0, -1), "no"]);
    expect(code).toBe(1);
    expect(said).toMatch(/No settings were written\. Your answers are kept/);
    expect(readdirSync(folder)).toEqual(["settings.json.answers"]);
  });

  it("file there that check refuses: untouched, another name asked for", async () => {
    writeFileSync(join(folder, "settings.json"), "mine");
    const { code, said } = await initialise(["other.json", ...answers("/dev/ttyACM0")]);
    expect(code).toBe(0);
    expect(said).toMatch(/does not accept it: mend it by hand/);
    expect(readFileSync(join(folder, "settings.json"), "utf8")).toBe("mine");
    expect(readdirSync(folder).sort()).toEqual(["other.json", "settings.json"]);
  });

  it("good file there, change, Enter to every question: the same settings", async () => {
    await initialise(answers("/dev/ttyACM0"));
    const before = readFileSync(join(folder, "settings.json"), "utf8");
    // As many questions as before, less those of the thermistor, which is left as it is, and the two that were refused.
    const { code } = await initialise([
      "change",
      ...answers("/dev/ttyACM0")
        .slice(6)
        .map(() => ""),
    ]);
    expect(code).toBe(0);
    expect(JSON.parse(readFileSync(join(folder, "settings.json"), "utf8"))).toEqual(JSON.parse(before));
  });
});

describe("the questionnaire without a terminal", () => {
  it.each([
    ["through a pipe", ["init"], /asked at a terminal, and this is none/],
    ["into a folder that is not there", ["init", "absent/settings.json"], /at a terminal|no folder absent/],
  ])("init %s: exit 1, says so, nothing written", async (_name, words, expected) => {
    const folder = mkdtempSync(join(tmpdir(), "evenbrine-init-"));
    const { code, out, err } = await evenbrine(folder, words);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toMatch(expected);
    expect(readdirSync(folder)).toEqual([]);
    rmSync(folder, { recursive: true, force: true });
  });
});

const EXAMPLE = new URL("../../wiring-notes/settings-example.json", import.meta.url);

describe("the wiring sheet at a terminal", () => {
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-wiring-"));
    copyFileSync(EXAMPLE, join(folder, "settings.json"));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("settings file, --svg to a file and to -: exit 0, contacts printed, SVG written", async () => {
    const { code, out } = await evenbrine(folder, ["wiring", "settings.json", "--svg", "sheet.svg"]);
    expect(code).toBe(0);
    expect(out).toMatch(/working-float {2,}closed when the water is low/);
    const pages = readdirSync(folder).filter((name) => name.startsWith("sheet-"));
    expect(pages.length).toBeGreaterThan(1);
    for (const page of pages) expect(readFileSync(join(folder, page), "utf8")).toMatch(/^<svg .*<\/svg>\n$/s);
    const { out: drawn } = await evenbrine(folder, ["wiring", "settings.json", "--svg", "-"]);
    expect(drawn).toMatch(/^<svg .*<\/svg>\s*$/s);
  });

  it.each([
    ["over the settings themselves", ["settings.json", "--svg", "./settings.json"], /take the place of the settings/],
    ["into a folder that is not there", ["settings.json", "--svg", "absent/sheet.svg"], /cannot be written/],
    ["of a file that is not there", ["absent.json"], /no such file/],
    ["of no file", [], /missing required argument/],
  ])("wiring %s: exit 1, says why, settings untouched", async (_name, words, expected) => {
    const before = readFileSync(join(folder, "settings.json"), "utf8");
    const { code, err } = await evenbrine(folder, ["wiring", ...words]);
    expect(code).toBe(1);
    expect(err).toMatch(expected);
    expect(err).not.toMatch(/\n\s+at /);
    expect(readFileSync(join(folder, "settings.json"), "utf8")).toBe(before);
  });
});

describeWith(EMULATED_BOARD_TOOLS, "from an empty folder to water that is poured", () => {
  const PINS = { working: 2, high: 16, reservoir: 4, floor: 5, thermistor: 14 };
  /** The siphon alone is watched for a minute, whatever the waits are divided by. */
  const BY_THE_CLOCK_MS = 600_000;
  const SWITCHES = { pump: 8, waterGuard: 9, heater: 10, heatGuard: 11 };
  let folder = "";
  let board: EmulatedBoard;
  let program: Program | undefined;
  const run = async () => {
    program = await startProgram("test-box", join(folder, "settings.json"), "--data", join(folder, ".evenbrine"));
    await program.untilTopic("scan/board", "ready", 40_000);
    return program;
  };

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

  it(
    "init, wiring and check: exit 0 each",
    async () => {
      const keeper = talkWith(folder, ["init", "settings.json"]);
      await keeper.answers(answers(board.path));
      expect(await keeper.ended()).toBe(0);
      expect((await evenbrine(folder, ["wiring", "settings.json", "--svg", "sheet.svg"])).code).toBe(0);
      expect((await evenbrine(folder, ["check", "settings.json"])).code).toBe(0);
      // On a workbench: every wait is a hundredth of what it is above water.
      const settings = JSON.parse(readFileSync(join(folder, "settings.json"), "utf8"));
      const bench = { waitsDividedBy: 100, shorterWaitsAccepted: "an emulated board: nothing hangs on its pins" };
      writeFileSync(join(folder, "settings.json"), JSON.stringify({ ...settings, bench }));
    },
    BY_THE_CLOCK_MS,
  );

  it(
    "first run: floats read as they stand, nothing on, prove --list names what keeps pump and heater off",
    async () => {
      const { untilTopic } = await run();
      await untilTopic("working-float/position", "full");
      await untilTopic("high-float/position", "dry");
      await untilTopic("reservoir-float/position", "has-water");
      await untilTopic("floor-sensor/position", "dry");
      await untilTopic("temperature/value", /^2[45]\./);
      // The heat guard rests closed while all is well; nothing is switched by it alone.
      for (const pin of [SWITCHES.pump, SWITCHES.waterGuard, SWITCHES.heater]) {
        expect(board.level(pin)).not.toBe("high");
      }
      const { out } = await evenbrine(folder, ["prove", "--list"]);
      expect(out).toMatch(/^high float +never proven$/m);
      expect(out).toMatch(/Not fitted: low float, thermometer 2\./);
      expect(out).toMatch(/Top-off stays off until these are proven: high float, working float,/);
      expect(out).toMatch(/The heater stays off until these are proven: heat guard, heater\./);
    },
    BY_THE_CLOCK_MS,
  );

  const arrives = async (keeper: Talked) => {
    await keeper.hears(/kill.*Do you stand at the tank/);
    keeper.type("yes");
    await keeper.hears(/Your name/);
    keeper.type("Kim");
  };
  /** Lifts what hangs on the pin and lets it fall, as far as it takes to be seen. */
  const moved = async (keeper: Talked, pin: number, there: RegExp, first: "open" | "closed") => {
    await board.contact(pin, first);
    await keeper.hears(there);
    // Seen once is no splash: it stays there for a moment.
    await pause(1_500);
    await board.contact(pin, first === "open" ? "closed" : "open");
  };

  it(
    "prove, not at the tank: told to come back, exit 0",
    async () => {
      const keeper = talkWith(folder, ["prove"]);
      await keeper.hears(/Do you stand at the tank/);
      keeper.type("no");
      await keeper.hears(/Come back when you stand beside it/);
      expect(await keeper.ended()).toBe(0);
    },
    BY_THE_CLOCK_MS,
  );

  it(
    "prove at the tank: new box told, high and working float proven in a hold; left: both kept, hold goes on",
    async () => {
      const keeper = talkWith(folder, ["prove"]);
      await arrives(keeper);
      await keeper.hears(/This box is new to Evenbrine.*Salinity that you measured/);
      keeper.type("35.0");
      await keeper.hears(/Have you looked at the water/);
      keeper.type("yes");
      await keeper.hears(/1 of \d+: high float \(never proven\).*Start a hold/);
      keeper.type("");
      await moved(keeper, PINS.high, /high float wet/, "open");
      await keeper.hears(/Proven\..*2 of \d+: working float/);
      await moved(keeper, PINS.working, /working float low/, "closed");
      await keeper.hears(/Proven\..*3 of \d+: reservoir float/);
      keeper.type("leave");
      await keeper.hears(/Interrupted, nothing lost.*The hold goes on/);
      await keeper.hears(/high float proven .* Kim working float proven .* reservoir float never proven/);
      expect(await keeper.ended()).toBe(0);
    },
    BY_THE_CLOCK_MS,
  );

  const begins = async (keeper: Talked, seconds: number) => {
    // A floor that was wetted for its proof locks top-off, in the walk or only after the hold.
    while (/cleared/.test(await keeper.hears(/Ready\?|› Have you looked at the water, and may the lock be cleared/))) {
      keeper.type("yes");
      await keeper.hears(/· Have you looked at the water/);
    }
    keeper.type(String(seconds));
    await keeper.hears(/Enter stops it/);
  };
  /** On a busy machine the emulated board may fall silent in the middle of a run, which then begins again. */
  const ranTo = async (keeper: Talked, end: RegExp, seconds: number) => {
    const either = new RegExp(`${end.source}|begin it again\\.`);
    while (/begin it again/.test(await keeper.hears(either, 120_000))) await begins(keeper, seconds);
  };

  it(
    "prove again: goes on with reservoir float, floor, level of 62 mm, water guard, pump twice, siphon",
    async () => {
      const keeper = talkWith(folder, ["prove"]);
      await arrives(keeper);
      await keeper.hears(/1 of \d+: reservoir float/);
      await moved(keeper, PINS.reservoir, /reservoir float empty/, "open");
      await keeper.hears(/Proven\..*2 of \d+: floor sensor/);
      await moved(keeper, PINS.floor, /floor wet/, "open");
      await keeper.hears(/Proven\..*3 of \d+: level with the return pump off.*Are all hands out/);
      keeper.type("yes");
      await begins(keeper, 60);
      await keeper.hears(/stayed dry.*above the working mark; until now 60 mm/, 120_000);
      keeper.type("62");
      await keeper.hears(/Proven\..*62 mm, before 60 mm.*Start the return pump again.*4 of \d+: water guard/);
      await begins(keeper, 5);
      await board.until(SWITCHES.pump, "high");
      expect(board.level(SWITCHES.waterGuard)).toBe("low");
      await ranTo(keeper, /Did the pump stand still/, 5);
      keeper.type("yes");
      await keeper.hears(/Proven\..*5 of \d+: top-off pump/);
      for (const jug of ["75", "77"]) {
        await begins(keeper, 6);
        await board.until(SWITCHES.pump, "high");
        await board.until(SWITCHES.waterGuard, "high");
        await keeper.hears(/running, \d s left: pump relay on/);
        await board.until(SWITCHES.pump, "low", 20_000);
        await ranTo(keeper, /How much is in the jug/, 6);
        keeper.type(jug);
        if (jug === "75") await keeper.hears(/75 mL in \d\.\d s are .*Once more/);
        if (jug === "75") keeper.type("");
      }
      await keeper.hears(/Proven: \d+\.\d mL\/s.*6 of \d+: stop of the top-off pump/);
      await begins(keeper, 30);
      await keeper.hears(/watching, \d+ s left/, 120_000);
      await ranTo(keeper, /How much ran into the jug after/, 30);
      keeper.type("0");
      await keeper.hears(/Did water run back/);
      keeper.type("no");
      await keeper.hears(/Proven: it stops/);
      keeper.type("leave");
      await keeper.hears(/Interrupted/);
      expect(await keeper.ended()).toBe(0);
    },
    BY_THE_CLOCK_MS,
  );

  it(
    "prove again: goes on with thermometer, heat guard, heater, thermostat, protective device; nothing unproven",
    async () => {
      const keeper = talkWith(folder, ["prove", "--by", "Kim"]);
      await keeper.hears(/Do you stand/);
      keeper.type("yes");
      await keeper.hears(/1 of \d+: thermometer 1.*Start a hold/);
      keeper.type("");
      await begins(keeper, 60);
      await board.volts(PINS.thermistor, 2.4);
      await keeper.hears(/Proven\..*2 of \d+: heat guard.*Are all hands out/);
      await board.volts(PINS.thermistor, 2.5);
      keeper.type("yes");
      await begins(keeper, 5);
      await board.until(SWITCHES.heater, "high");
      expect(board.level(SWITCHES.heatGuard)).toBe("low");
      await ranTo(keeper, /Did the heater stay dark/, 5);
      keeper.type("yes");
      await keeper.hears(/3 of \d+: heater/);
      await begins(keeper, 5);
      await board.until(SWITCHES.heater, "high");
      await board.until(SWITCHES.heatGuard, "high");
      await ranTo(keeper, /Did the heater come on\?/, 5);
      keeper.type("yes");
      await keeper.hears(/the heater's own thermostat/);
      await begins(keeper, 5);
      await keeper.hears(/thermostat back/);
      keeper.type("yes");
      await keeper.hears(/residual-current device.*Did it trip at once/);
      keeper.type("yes");
      await keeper.hears(/Nothing stays off for want of a proof\./);
      expect(await keeper.ended()).toBe(0);
      expect((await evenbrine(folder, ["prove", "--list"])).out).not.toMatch(/never proven/);
    },
    BY_THE_CLOCK_MS,
  );

  it(
    "started again: proofs with readings and the level kept; float low: pours, full: stops",
    async () => {
      expect(await program?.end("SIGINT")).toBe(0);
      // What hours beside the box would have earned: a full budget. Everything else is as the walk has left it.
      const settings = await loadSettings(join(folder, "settings.json"));
      const memory = await openDurableMemory(join(folder, ".evenbrine", "test-box"));
      const found = memory.read();
      const stored = found.memory as StoredMemory;
      const topOff = { ...(stored.machines["top-off"] as object), bucketUl: settings.topOff.dailyBudgetL * 1e6 };
      const machines = { ...stored.machines, "top-off": topOff };
      memory.write({ ...stored, machines, sequence: found.sequence + 1 }, found.sequence + 1);
      await memory.close();
      const { untilTopic } = await run();
      await untilTopic("top-off/blockers", "", 60_000);
      const { out } = await evenbrine(folder, ["prove", "--list"]);
      for (const reading of [
        /^level with the return pump off +proven .* Kim +62 mm$/m,
        /^water guard +proven .* Kim +\d s$/m,
        /^top-off pump +proven .* Kim +\d+\.\d mL\/s$/m,
        /^thermometer 1 +proven .* Kim +\d\.\d K$/m,
        /^heater +proven .* Kim +\d s$/m,
      ]) {
        expect(out).toMatch(reading);
      }
      expect((await evenbrine(folder, ["calibrate", "--list"])).out).toMatch(/level with the return pump off +62 mm/);
      await board.contact(PINS.working, "closed");
      await board.until(SWITCHES.pump, "high", 30_000);
      expect(board.level(SWITCHES.waterGuard)).toBe("high");
      await untilTopic("top-off/state", "pouring");
      await board.contact(PINS.working, "open");
      await board.until(SWITCHES.pump, "low");
      await untilTopic("top-off-pump/on", "false");
      expect(await program?.end("SIGINT")).toBe(0);
      program = undefined;
    },
    BY_THE_CLOCK_MS,
  );
});
