import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { requestFrom } from "../../controller/cli/terminal.ts";
import { settingsJsonSchema } from "../../shared/settings/index.ts";

const LAUNCH = fileURLToPath(new URL("../../controller/cli/launch.mjs", import.meta.url));
const EXAMPLE = fileURLToPath(new URL("../../wiring-notes/settings-example.json", import.meta.url));

interface Ended {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function evenbrine(...words: string[]): Promise<Ended> {
  try {
    const { stdout, stderr } = await promisify(execFile)(process.execPath, [LAUNCH, ...words]);
    return { code: 0, out: stdout, err: stderr };
  } catch (error) {
    const { code, stdout, stderr } = error as { code: number; stdout: string; stderr: string };
    return { code, out: stdout, err: stderr };
  }
}

describe("evenbrine check", () => {
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-check-"));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const file = (text: string): string => {
    const path = join(folder, "settings.json");
    writeFileSync(path, text);
    return path;
  };

  test("example file: exit 0, can be used, 4 L or 2.7 days, at most 4.1 L, heat down to 10 °C", async () => {
    const raw = { independentGuard: "Two timer relays.", ...JSON.parse(readFileSync(EXAMPLE, "utf8")) };
    const { code, out } = await evenbrine("check", file(JSON.stringify(raw)));
    expect(code).toBe(0);
    expect(out).toMatch(/can be used/);
    expect(out).toMatch(/Reservoir: 4 L, 2\.7 days at 1\.5 L a day\. The box takes at most 4\.1 L of fresh water/);
    // (200 + 25) W over 15 W/K are 15 K below 25 °C; 200 W over 159 W for each K/h are 1.3 K an hour.
    expect(out).toMatch(
      /Heat: 200 W in 140 L hold 25 °C down to a room of 10 °C\. Stuck on, it warms .* by 1\.3 K an hour/,
    );
  }, 60_000);

  test("no heater in outputs, °F and US gallons chosen: exit 0, not a word of heat, litres in gallons", async () => {
    const { outputs, ...raw } = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    const { "heater-1": _heater, "heat-guard": _guard, ...pump } = outputs;
    const units = { temperature: "°F", volume: "US gal", length: "in" };
    const { code, out } = await evenbrine("check", file(JSON.stringify({ ...raw, units, outputs: pump })));
    expect(code).toBe(0);
    expect(out).not.toMatch(/Heat:/);
    expect(out).toMatch(/Reservoir: 1\.1 US gal, 2\.7 days at 0\.4 US gal a day/);
  }, 60_000);

  test("larger reservoir with its means: exit 0, all of them shown with the reason", async () => {
    const raw = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    raw.boards.io.firmware = "guard";
    const means = { noSiphon: "air-gap", highFloatInSeries: true, displayGuard: "overflow" };
    raw.topOff = {
      ...raw.topOff,
      sliceMl: 100,
      reservoirL: 10,
      largeReservoir: { because: "A week away in summer.", ...means },
    };
    const { code, out } = await evenbrine("check", file(JSON.stringify(raw)));
    expect(code).toBe(0);
    expect(out).toMatch(/“A week away in summer\.”.*air above the highest level.*two contacts.*own contact.*overflow/);
  }, 60_000);

  test("evaporation left for later: exit 1, named as still to be measured, told who asks for it", async () => {
    const raw = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    delete raw.topOff.evaporationLPerDay;
    const { code, err } = await evenbrine("check", file(JSON.stringify(raw)));
    expect(code).toBe(1);
    expect(err).toMatch(/is not finished: these are still to be measured/);
    expect(err).toMatch(/topOff\.evaporationLPerDay: Evaporation measured in the first weeks/);
    expect(err).toMatch(/init/);
  }, 60_000);

  test("unknown key and 1.026 as salinity: exit 1, path, value and what was expected, no stack trace", async () => {
    const raw = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    raw.topOff.slicemL = 200;
    raw.targets.salinity = 1.026;
    const { code, err, out } = await evenbrine("check", file(JSON.stringify(raw)));
    expect(code).toBe(1);
    expect(out).toBe("");
    expect(err).toMatch(/topOff\.slicemL: 200 stands there; expected .*typing error/);
    expect(err).toMatch(/targets\.salinity: 1\.026 stands there; expected .*28/);
    expect(err).not.toMatch(/\n\s+at /);
  }, 60_000);

  test.each([
    ["a file that is not there", null, /no such file/],
    ["a file cut short", '{ "version": 1, "tank": {', /no JSON/],
    ["an empty file", "", /no JSON/],
  ])(
    "%s: exit 1, says so, no stack trace",
    async (_name, text, expected) => {
      const { code, err } = await evenbrine("check", text === null ? join(folder, "absent.json") : file(text));
      expect(code).toBe(1);
      expect(err).toMatch(expected);
      expect(err).not.toMatch(/\n\s+at /);
    },
    60_000,
  );

  test("--schema: exit 0, the schema of settings", async () => {
    const { code, out } = await evenbrine("check", "--schema");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toEqual(JSON.parse(JSON.stringify(settingsJsonSchema())));
  }, 60_000);
});

describe("a line typed at the controller's terminal", () => {
  const at = "tank";
  const rows: [line: string, request: object | null][] = [
    ["hold 30", { kind: "hold", at, minutes: 30 }],
    ["hold 1.5", { kind: "hold", at, minutes: 1.5 }],
    ["hold", null],
    ["hold thirty", null],
    ["hold Infinity", null],
    ["end-hold", { kind: "end-hold", at, answer: null }],
    ["salt-water-added", { kind: "end-hold", at, answer: "salt-water-added" }],
    ["evaporation", { kind: "end-hold", at, answer: "evaporation" }],
    ["acknowledge all", { kind: "acknowledge", at, alarm: "all" }],
    ["acknowledge", null],
    ["clear top-off 2", { kind: "clear", at, machine: "top-off", occurrence: 2 }],
    ["clear heat 1", { kind: "clear", at, machine: "heat", occurrence: 1 }],
    ["clear second-heat 2", { kind: "clear", at, machine: "second-heat", occurrence: 2 }],
    ["clear pump 1", null],
    ["clear", null],
    ["hand-test 34.8", { kind: "hand-test", at, salinity: 34.8 }],
    ["hand-test 34,8", null],
    ["hand-test", null],
    ["reservoir-test 0", { kind: "reservoir-test", at, salinity: 0 }],
    ["reservoir-test", null],
    ["refill 8", { kind: "refill", at, litres: 8 }],
    ["refill", null],
    ["cartridge-changed", { kind: "cartridge-changed", at }],
    ["absence 0 336", { kind: "absence", at, fromH: 0, toH: 336 }],
    ["absence 14", null],
    ["end-absence", { kind: "end-absence", at }],
    ["trust thermometer-1", { kind: "trust", at, part: "thermometer-1" }],
    ["help", null],
    ["quit", null],
  ];
  test.each(rows)("%s: %j", (line, request) => {
    expect(requestFrom(line.split(" "), "id")).toEqual(request === null ? null : { id: "id", ...request });
  });

  test("clear without a number: no request, or one whose number matches none", () => {
    const request = requestFrom(["clear", "top-off"], "id");
    if (request !== null) expect(request).toMatchObject({ kind: "clear", occurrence: Number.NaN });
  });
});
