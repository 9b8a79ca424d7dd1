import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { benchCommand } from "../../controller/cli/bench/index.ts";

const index = new URL("../../controller/cli/bench/index.ts", import.meta.url).href;
const top = fileURLToPath(new URL("../../", import.meta.url));

/** The command as a process of its own, as a person runs it. */
function run(...words: string[]) {
  const script = `import { benchCommand } from ${JSON.stringify(index)}; await benchCommand().parseAsync(process.argv.slice(1), { from: "user" });`;
  const node = [
    ...process.execArgv.filter((word) => word.startsWith("--max")),
    "--input-type=module",
    "-e",
    script,
    "--",
  ];
  return spawnSync(process.execPath, [...node, ...words], { cwd: top, encoding: "utf8" });
}

describe("evenbrine bench", () => {
  it("53.0mS/cm at 77F with --why: exit 0, 34.95 ± 0.96 SP, names UNESCO", () => {
    const { status, stdout, stderr } = run("salinity", "--conductivity", "53.0mS/cm", "--temp", "77F", "--why");
    expect(status).toBe(0);
    expect(stdout).toContain("practical salinity  34.95 ± 0.96 SP (k = 2)");
    expect(stdout).toContain("Practical Salinity Scale 1978: UNESCO");
    expect(stderr).toBe("");
  });

  it("density with --json: exit 0, value, unit and source as JSON", () => {
    const { status, stdout } = run("density", "--salinity", "35SP", "--temp", "25C", "--json");
    expect(status).toBe(0);
    const answer = JSON.parse(stdout);
    expect(answer).toMatchObject({ calculator: "density", given: { salinity: 35, temp: 25 } });
    expect(answer.results[0]).toMatchObject({ name: "density, TEOS-10", unit: "kg/m³" });
    expect(answer.results[0].value).toBeCloseTo(1023.3436, 4);
    expect(answer.why[0].source).toMatch(/IAPWS/);
  });

  it("--temp -1C: exit 0", () => {
    expect(run("density", "--salinity", "35SP", "--temp", "-1C").status).toBe(0);
  });

  it.each([
    [["salinity", "--conductivity", "35ppt", "--temp", "25C"]],
    [["salinity-from-sg", "--sg", "1.025"]],
    [["density", "--salinity", "35SP", "--temp", "60C"]],
  ])("%j: exit 1, one plain sentence", (words) => {
    const { status, stdout, stderr } = run(...words);
    expect(status).toBe(1);
    expect(stdout).toBe("");
    expect(stderr.trim().split("\n")).toHaveLength(1);
    expect(stderr).not.toMatch(/\bat .*:\d+/);
  });

  it("35ppt with --json: exit 1, refusal as JSON", () => {
    const { status, stdout } = run("density", "--salinity", "35ppt", "--temp", "25C", "--json");
    expect(status).toBe(1);
    expect(JSON.parse(stdout)).toMatchObject({
      calculator: "density",
      refused: expect.stringContaining("parts per thousand"),
    });
  });

  it("unknown flag or calculator: exit 1, no stack trace", () => {
    for (const words of [["density", "--depth", "3m"], ["bouillon"]]) {
      const { status, stderr } = run(...words);
      expect(status).toBe(1);
      expect(stderr).not.toMatch(/\bat .*:\d+/);
    }
  });

  it("help of every calculator: names what its flags want", () => {
    const help = benchCommand()
      .commands.map((command) => command.helpInformation())
      .join("\n");
    expect(help).toContain("--conductivity <conductivity>");
    expect(help).toMatch(/--cell-doubt <doubt-of-a-percentage>/);
    expect(help).toMatch(/US gallons|37usgal/);
  });
});
