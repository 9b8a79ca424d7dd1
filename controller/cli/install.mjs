// Makes `npm start` and `npm test` enough on their own: installs what the lock file names, once.
// Runs on the machine's own Node (>= 20.19), before anything of ours is installed, so it is plain JavaScript.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const top = fileURLToPath(new URL("../../", import.meta.url));
const stampFile = `${top}node_modules/.installed-for`;

const wanted = createHash("sha256")
  .update(readFileSync(`${top}package-lock.json`))
  .update(`${process.platform} ${process.arch}`)
  .digest("hex");
const installed = existsSync(stampFile) ? readFileSync(stampFile, "utf8") : "";

if (installed !== wanted) {
  console.log("Installing what Evenbrine needs, once (about a minute) ...");
  const npm = process.env.npm_execpath;
  const options = { cwd: top, stdio: ["ignore", "ignore", "pipe"], encoding: "utf8" };
  const args = ["ci", "--loglevel=error"];
  const result = npm ? spawnSync(process.execPath, [npm, ...args], options) : spawnSync("npm", args, options);
  if (result.status !== 0) {
    console.error(result.stderr ?? "");
    console.error("The installation failed. Is the network there? Nothing was started; try again.");
    process.exit(1);
  }
  writeFileSync(stampFile, wanted);
}

// What runs for long is started from stripped copies; see stripped.mjs. Another processor strips as it starts.
const runtime = `${top}node_modules/node-${process.platform}-${process.arch}/bin/node`;
if (existsSync(runtime)) {
  spawnSync(runtime, ["--disable-warning=ExperimentalWarning", `${top}controller/cli/strip-all.mjs`], {
    stdio: "inherit",
  });
}
