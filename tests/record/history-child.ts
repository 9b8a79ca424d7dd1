import { openHistory } from "../../controller/record/index.ts";
import { noteOf } from "./notes.ts";

/** Takes one note, lets it be flushed, and dies as by a power cut. */
const history = openHistory(process.argv[2] ?? "", { flushMs: 20, eventFlushMs: 20 });
const started = { kind: "started", subject: null, words: "The controller started." } as const;
history.take([noteOf(1, 1_750_000_000_000, [["temperature", 25.0512]], [started])]);
setTimeout(() => process.kill(process.pid, "SIGKILL"), 150);
