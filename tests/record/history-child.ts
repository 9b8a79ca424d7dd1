import { openRecord } from "../../controller/record/index.ts";
import { wellRecord } from "./scan-record.ts";

/** Notes one scan, lets it be flushed, and dies as by a power cut. */
const record = await openRecord(process.argv[2] ?? "", { flushMs: 20, eventFlushMs: 20 });
record.note(wellRecord(), 1_750_000_000_000);
setTimeout(() => process.kill(process.pid, "SIGKILL"), 150);
