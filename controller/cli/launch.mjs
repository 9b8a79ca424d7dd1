#!/usr/bin/env node
// The door to every command. Evenbrine's TypeScript runs directly on Node 24, which npm installs beside it;
// when the Node that runs this file is older, the same command is handed over to that one.
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const top = fileURLToPath(new URL("../../", import.meta.url));
const bundled = `${top}node_modules/node-${process.platform}-${process.arch}/bin/node`;
const major = Number(process.versions.node.split(".")[0]);

if (major >= 24) {
  const { useStripped } = await import("./stripped.mjs");
  useStripped();
  const { main } = await import("../main.ts");
  await main(process.argv.slice(2));
} else if (existsSync(bundled)) {
  const arguments_ = ["--max-semi-space-size=1", fileURLToPath(import.meta.url), ...process.argv.slice(2)];
  const child = spawn(bundled, arguments_, { stdio: "inherit" });
  process.on("SIGINT", () => {
    // Ctrl-C at the terminal reaches both processes; the child ends in its own good order, outputs off first.
  });
  process.on("SIGTERM", () => child.kill("SIGTERM"));
  child.on("exit", (code, signal) => process.exit(signal ? 1 : (code ?? 1)));
} else {
  console.error(
    `Evenbrine needs Node 24 or newer; this one is ${process.version} and npm brings no Node 24 for ` +
      `${process.platform} on ${process.arch}. Install Node 24 and run the same command again.`,
  );
  process.exit(1);
}
