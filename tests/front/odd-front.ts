import type { FromFront, ToFront } from "../../controller/front/messages.ts";

/** Stands where the front's process stands, and fails in the way that the folder which it is told names. */
const say = (message: FromFront) => void process.send?.(message);
const alive = (residentBytes = 60e6, historyFailed = false) => say({ say: "alive", residentBytes, historyFailed });
const listen = () => say({ say: "listening", web: 1, mqtt: 2 });

const WAYS: Readonly<Record<string, () => void>> = {
  well: () => {
    listen();
    setInterval(() => alive(), 100);
  },
  "hangs for ever": () => {
    listen();
    alive();
    setTimeout(() => {
      for (;;);
    }, 50);
  },
  "never says anything": () => setInterval(() => undefined, 1_000),
  throws: () => {
    listen();
    setTimeout(() => {
      throw new Error("no such topic");
    }, 50);
  },
  "ends at once": () => process.exit(3),
  "grows without end": () => {
    listen();
    setInterval(() => alive(1e9), 50);
  },
  "fills its own heap": () => {
    listen();
    const kept: number[][] = [];
    setInterval(() => {
      for (let round = 0; round < 40; round += 1) kept.push(Array.from({ length: 100_000 }, (_, index) => index));
      alive();
    }, 5);
  },
  "says too much": () => {
    listen();
    setInterval(() => {
      for (let count = 0; count < 500; count += 1) say({ say: "request", kind: "hold", payload: "{}" });
    }, 20);
  },
  "takes nothing": () => {
    listen();
    setInterval(() => alive(), 100);
  },
  "history fails": () => {
    listen();
    setInterval(() => alive(60e6, true), 100);
  },
};

let way = "";
process.on("SIGTERM", () => undefined);
process.on("disconnect", () => process.exit(0));
process.on("message", (message: ToFront) => {
  if (message.say === "open") {
    way = message.opening.folder;
    WAYS[way]?.();
  } else if (message.say === "close") {
    if (way !== "takes nothing") process.exit(0);
  } else if (way !== "takes nothing") {
    if (message.say === "notes") say({ say: "kept", upTo: message.notes.at(-1)?.number ?? 0 });
    say({ say: "took", lane: message.say });
  }
});
