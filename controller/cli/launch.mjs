#!/usr/bin/env node
// The way into every command. Evenbrine's TypeScript runs directly on Node 24, which npm installs beside it;
// when the Node that runs this file is older, the same command is handed over to that one.
import { spawn, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { LAUNCHED, watchParent } from "./parent.mjs";

const top = fileURLToPath(new URL("../../", import.meta.url));
const bundled = `${top}node_modules/node-${process.platform}-${process.arch}/bin/node`;
const major = Number(process.versions.node.split(".")[0]);

// `npm start` has built the page before; `npm run evenbrine -- run` does it here. A tank does not wait for a page.
const isByNpm = process.env.npm_lifecycle_event === "evenbrine" && process.env[LAUNCHED] === undefined;
if (process.argv[2] === "run" && isByNpm) {
  const built = spawnSync(process.execPath, [`${top}controller/cli/build-dashboard.mjs`], { stdio: "inherit" });
  if (built.status !== 0) console.error("The controller starts without a new page.");
}

if (major >= 24) {
  const { useStripped } = await import("./stripped.mjs");
  useStripped();
  const { main } = await import("../main.ts");
  await main(process.argv.slice(2));
} else if (existsSync(bundled)) {
  const arguments_ = ["--max-semi-space-size=1", fileURLToPath(import.meta.url), ...process.argv.slice(2)];
  const child = spawn(bundled, arguments_, { stdio: "inherit", env: { ...process.env, [LAUNCHED]: "1" } });
  const passOn = (signal) => child.kill(signal);
  if (process.argv[2] === "run") {
    // Whatever this process is told, the controller is told, and ends in its own good order, outputs off first. What is
    // typed at the terminal reaches both, and a second word changes nothing there.
    for (const signal of ["SIGINT", "SIGTERM", "SIGHUP", "SIGQUIT", "SIGUSR2", "SIGALRM"]) process.on(signal, passOn);
    // It does not let itself be suspended, and must not seem to be.
    process.on("SIGTSTP", () => undefined);
    watchParent(() => passOn("SIGTERM"));
  } else {
    process.on("SIGINT", () => undefined);
    process.on("SIGTERM", passOn);
  }
  child.on("exit", (code, signal) => process.exit(signal ? 1 : (code ?? 1)));
} else {
  console.error(
    `Evenbrine needs Node 24 or newer; this one is ${process.version} and npm brings no Node 24 for ` +
      `${process.platform} on ${process.arch}. Install Node 24 and run the same command again.`,
  );
  process.exit(1);
}
