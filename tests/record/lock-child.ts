import { lockFolder } from "../../controller/record/index.ts";

/** Locks a folder, says how that went, and stays until it is killed. */
try {
  const { trouble } = lockFolder(process.argv[2] ?? "");
  process.stdout.write(`${trouble === null ? "locked" : trouble}\n`);
} catch (error) {
  process.stdout.write(`refused: ${(error as Error).message}\n`);
}
setInterval(() => undefined, 1_000);
