/** The way of the data, room by room. A room may import from itself, from rooms before it, and from `shared`. */
export const WAY_OF_THE_DATA = [
  "controller/boards",
  "controller/inputs",
  "controller/signals",
  "controller/quantities",
  "controller/decisions",
  "controller/alarms",
  "controller/outputs",
  "controller/scan",
  "controller/rehearsal",
  "controller/record",
  "controller/publish",
  "controller/serve",
  "controller/front",
  "controller/settings",
  "controller/cli",
  "controller/run",
  "controller",
] as const;

/** Rooms of `shared`, in the order in which they may build on each other. */
export const SHARED_ROOMS = [
  "shared/units",
  "shared/seawater",
  "shared/chemistry",
  "shared/contract",
  "shared/settings",
] as const;

/** Where the same inputs must always give the same outputs, in Node as in a browser. */
export const PURE_ROOMS = [
  ...SHARED_ROOMS,
  "controller/inputs",
  "controller/signals",
  "controller/quantities",
  "controller/decisions",
  "controller/alarms",
  "controller/rehearsal",
] as const;

/** Rooms in which only these files touch a clock, a disk or a line: every other one is pure. */
export const PURE_BUT_FOR: Readonly<Record<string, readonly string[]>> = {
  "controller/scan": ["cycle.ts"],
  "controller/outputs": ["field.ts", "relays.ts", "service-watchdog.ts"],
  "controller/record": ["durable-memory.ts", "folder-lock.ts", "history.ts", "notes-file.ts", "slot.ts", "store.ts"],
  "controller/publish": ["broker.ts", "external-client.ts", "guests.ts", "homie.ts", "news.ts", "packet-limit.ts"],
  "controller/serve": ["one-at-a-time.ts", "server.ts", "websocket.ts"],
};

/** What no pure place may contain, and why. */
export const BANNED_IN_PURE: readonly [pattern: RegExp, why: string][] = [
  [/\bfrom\s+"node:/, "imports from node:"],
  [/\bDate\b/, "reads or builds a date"],
  [/\bperformance\b/, "reads a clock"],
  [/\bset(?:Timeout|Interval|Immediate)\b|\bqueueMicrotask\b/, "starts a timer"],
  [/\bMath\.random\b|\bcrypto\b/, "draws a random number"],
  [/\bawait\b|\basync\b|\bnew Promise\b|\bPromise\./, "waits"],
  [
    /\bprocess\.|\bglobalThis\b|\b(?:window|document)\.(?:location|addEventListener|createElement|cookie)\b/,
    "touches the machine it runs on",
  ],
  [/\bconsole\b/, "prints"],
];
