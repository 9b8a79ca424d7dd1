import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const top = resolve(import.meta.dirname, "../..");
let place = "";
beforeAll(() => {
  place = mkdtempSync(join(tmpdir(), "rehearse-"));
});
afterAll(() => rmSync(place, { recursive: true }));

const file = (name: string, content: unknown): string => {
  const path = join(place, name);
  writeFileSync(path, typeof content === "string" ? content : JSON.stringify(content));
  return path;
};

const SCRIPT = `
  const { rehearseCommand } = await import("./controller/cli/rehearse.ts");
  await rehearseCommand().parseAsync(process.argv.slice(1), { from: "user" });
`;

/** The command alone, in a process of its own, as it ends: with its code and what it said. */
function command(...words: string[]) {
  const run = spawnSync(process.execPath, ["--input-type=module", "-e", SCRIPT, "--", ...words], {
    cwd: top,
    encoding: "utf8",
  });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

describe("evenbrine rehearse", () => {
  it("scenario of 0.2 h, seed 5: exit 0, says hours, seed, scans, no spill, no violation", () => {
    const { code, out } = command(file("short.json", { name: "A short one", hours: 0.2 }), "--seed", "5");
    expect(code).toBe(0);
    expect(out).toMatch(/^A short one: 0\.2 hours on the simulated tank, seed 5, 2880 scans\.$/m);
    expect(out).toContain("No water was spilled.");
    expect(out).toContain("No safety invariant was broken.");
  });

  it("--report - or a file: the same JSON, nothing else said", () => {
    const scenario = file("short.json", { name: "A short one", hours: 0.1 });
    const said = command(scenario, "--report", "-");
    const path = join(place, "out.json");
    const written = command(scenario, "--report", path);
    expect(written).toMatchObject({ code: 0, out: "" });
    expect(readFileSync(path, "utf8")).toBe(said.out);
    expect(JSON.parse(said.out)).toMatchObject({ name: "A short one", seed: 1, hours: 0.1, scans: 1440 });
  });

  it("value and key wrong: exit 1, path, value and what was expected, no stack trace", () => {
    const { code, out, err } = command(
      file("wrong.json", { name: "x", hours: 1, faults: [{ kind: "siphon", value: 99 }], hour: 2 }),
    );
    expect(code).toBe(1);
    expect(out).toBe("");
    expect(err).toContain("faults.0.value: found 99, expected 0.05 to 5 L/min");
    expect(err).toContain("hour: found 2, expected no such key");
    expect(err).not.toContain("    at ");
  });

  it.each([
    ["a file that is not there", () => join(place, "nowhere.json"), "There is no file"],
    ["a file that is no JSON", () => file("broken.json", "{ name: "), "is no JSON"],
  ])("%s: exit 1, says so, no stack trace", (_, path, said) => {
    const { code, err } = command(path());
    expect(code).toBe(1);
    expect(err).toContain(said);
    expect(err).not.toContain("    at ");
  });

  it("--settings with 150 W: exit 0; with an unknown key: exit 1, names it", () => {
    const scenario = file("short.json", { name: "A short one", hours: 0.05 });
    expect(command(scenario, "--settings", file("good.json", { heat: { heaterW: 150 } })).code).toBe(0);
    const bad = command(scenario, "--settings", file("bad.json", { tank: { netVolume: 100 } }));
    expect(bad.code).toBe(1);
    expect(bad.err).toContain("tank.netVolume");
  });

  it("--plot and --beside-bare-parts: exit 0, SVG written, bare parts told; no such folder: exit 1", () => {
    const scenario = file("plotted.json", { name: "A plotted one", hours: 0.4, faults: [{ kind: "tube-off" }] });
    const path = join(place, "out.svg");
    const { code, out } = command(scenario, "--plot", path, "--beside-bare-parts");
    expect(code).toBe(0);
    expect(out).toContain("With a bare float, relay and thermostat");
    const svg = readFileSync(path, "utf8");
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg"/);
    expect(svg).toContain("A plotted one");
    expect(command(scenario, "--plot", join(place, "no", "such.svg"))).toMatchObject({ code: 1, out: "" });
  });

  it("--scans adaptive: fewer than 0.7 of the scans; sometimes: exit 1, names the two paces", () => {
    const scenario = file("adaptive.json", { name: "An adaptive one", hours: 0.5 });
    const { out } = command(scenario, "--scans", "adaptive", "--report", "-");
    expect(JSON.parse(out).scans).toBeLessThan(0.7 * 7200);
    const wrong = command(scenario, "--scans", "sometimes");
    expect(wrong.code).toBe(1);
    expect(wrong.err).toContain("even, adaptive");
  });

  it("--schema: exit 0, JSON schema that requires name and hours", () => {
    const { code, out } = command("--schema");
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ type: "object", required: ["name", "hours"] });
  });
});
