import { openDurableMemory } from "../../controller/record/index.ts";

/**
 * Writes memory after memory as fast as the disk confirms, printing each confirmed sequence, until it is killed.
 * With a user id as second argument it first becomes that user, for whom a folder may be read-only.
 */
const [folder = "", user] = process.argv.slice(2);
if (user !== undefined) process.seteuid?.(Number(user));
const memory = await openDurableMemory(folder, { retryMs: 20 });
const found = memory.read();
process.stdout.write(`found ${found.state} ${found.sequence} ${memory.failed() ? "failed" : "working"}\n`);

let sequence = found.sequence;
let printed = memory.durableSequence();
setInterval(() => {
  for (let count = 0; count < 3; count += 1) {
    sequence += 1;
    memory.write({ sequence, poured: "x".repeat(sequence % 5_000) }, sequence);
  }
  if (memory.durableSequence() > printed) {
    printed = memory.durableSequence();
    process.stdout.write(`durable ${printed}\n`);
  }
}, 1);
