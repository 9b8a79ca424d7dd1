import { createHash } from "node:crypto";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/** What a unit says of this very computer; every path is absolute. */
export interface UnitPlan {
  /** The Node that runs it. */
  readonly node: string;
  /** The folder of the program. */
  readonly program: string;
  readonly settingsFile: string;
  /** The folder of memory and history. */
  readonly data: string;
  /** As whom it runs, and that one's own group. */
  readonly user: string;
  readonly group: string;
  /** The group that may open serial ports; null = this computer has none. */
  readonly serialGroup: string | null;
}

/** What an installed unit keeps. */
export type KeptByUnit = Pick<UnitPlan, "program" | "settingsFile" | "data">;

/** The unit of a keeper's small computer, systemd.unit(5), systemd.service(5) and systemd.exec(5). */
export function makeUnit(plan: UnitPlan): string {
  const body = `${[...unitLines(), ...serviceLines(plan), ...confinementLines(plan), ...endLines(plan)].join("\n")}\n`;
  return `${body}${MARK}${markOf(body)}\n`;

  function unitLines(): readonly string[] {
    const notes = pathToFileURL(join(plan.program, "wiring-notes/service/README.md")).href;
    return [
      "# Made by `evenbrine service`, which neither replaces nor removes it once it was changed by hand.",
      "# What you want otherwise belongs beside it: systemctl edit evenbrine",
      "[Unit]",
      "Description=Evenbrine, keeper of a box of sea water",
      `Documentation=${escapePercent(notes)}`,
      "# Never gives up: the water cannot wait for somebody to type a command.",
      "StartLimitIntervalSec=0",
      "",
    ];
  }
}

/** Started with the computer, and again whenever it falls or its scan stands still; ended by a word it can hear. */
const serviceLines = ({ node, program, settingsFile, data, user, group, serialGroup }: UnitPlan): readonly string[] => [
  "[Service]",
  "Type=notify",
  "# The sign of life is sent by a child of the controller.",
  "NotifyAccess=all",
  "WatchdogSec=20",
  "WatchdogSignal=SIGKILL",
  "TimeoutStartSec=90",
  "Restart=always",
  "RestartSec=5",
  "# Told to end it switches every output off and brings its memory to disk, which takes it 5 s at most.",
  "KillSignal=SIGTERM",
  "KillMode=mixed",
  "TimeoutStopSec=10",
  "",
  `User=${user}`,
  `Group=${group}`,
  ...(serialGroup === null ? [] : [`SupplementaryGroups=${serialGroup}`]),
  "# The colon: a dollar sign in a path is no variable.",
  `WorkingDirectory=${escapePercent(program)}`,
  `ExecStart=:${[
    node,
    "--max-semi-space-size=1",
    join(program, "controller/cli/launch.mjs"),
    "run",
    settingsFile,
    "--data",
    data,
  ]
    .map(quote)
    .join(" ")}`,
  "StandardInput=null",
  "UMask=0077",
  "Nice=-5",
  "OOMScoreAdjust=-500",
  "",
];

/** It may write to its data folder and to serial ports, and to nothing else. */
const confinementLines = (plan: UnitPlan): readonly string[] => [
  "NoNewPrivileges=yes",
  "ProtectSystem=strict",
  "# A folder that is gone keeps no heat from the tank: the controller starts, and says that it cannot write.",
  `ReadWritePaths=${quote(`-${plan.data}`)}`,
  `ProtectHome=${[plan.node, plan.program, plan.settingsFile, plan.data].some(liesInHome) ? "read-only" : "yes"}`,
  "PrivateTmp=yes",
  "ProtectClock=yes",
  "ProtectHostname=yes",
  "ProtectKernelLogs=yes",
  "ProtectKernelModules=yes",
  "ProtectControlGroups=yes",
  "DevicePolicy=closed",
  ...["ttyUSB", "ttyACM", "ttyAMA", "ttyS"].map((kind) => `DeviceAllow=char-${kind} rw`),
  "CapabilityBoundingSet=",
  "LockPersonality=yes",
  "RestrictNamespaces=yes",
  "RestrictRealtime=yes",
  "RestrictSUIDSGID=yes",
  "RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6",
  "SystemCallArchitectures=native",
  "",
];

/** systemd skips a section whose name begins with X-: there this program finds again what it has installed. */
const endLines = ({ program, settingsFile, data }: UnitPlan): readonly string[] => [
  "[Install]",
  "WantedBy=multi-user.target",
  "",
  "[X-Evenbrine]",
  `Program=${program}`,
  `Settings=${settingsFile}`,
  `Data=${data}`,
];

/** What an installed unit keeps; null = somebody else made it, or changed it by hand. */
export function readUnit(text: string): KeptByUnit | null {
  const [, body, mark] = /^([\s\S]*\n)Mark=(\w+)\n$/.exec(text) ?? [];
  if (body === undefined || mark !== markOf(body)) return null;
  const entry = (key: string) => new RegExp(`^${key}=(.*)$`, "m").exec(body)?.[1] ?? "";
  return { program: entry("Program"), settingsFile: entry("Settings"), data: entry("Data") };
}

const MARK = "Mark=";
const markOf = (body: string): string => createHash("sha256").update(body).digest("hex").slice(0, 16);

const liesInHome = (path: string): boolean => /^\/(home|root|run\/user)(\/|$)/.test(path);

/** A per cent sign begins a specifier, systemd.unit(5). */
const escapePercent = (text: string): string => text.replaceAll("%", "%%");

/** One word of a line of words, systemd.syntax(7); `planService` lets no quote and no backslash come here. */
const quote = (word: string): string =>
  /^[\w@%+=:,./-]+$/.test(word) ? escapePercent(word) : `"${escapePercent(word)}"`;
