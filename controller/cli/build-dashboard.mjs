// Builds the dashboard when its sources have changed since the last build. Plain JavaScript: it runs before the controller
// on whatever Node there is.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const top = fileURLToPath(new URL("../../", import.meta.url));
const stampFile = `${top}dashboard/dist/.built-from`;

const sources = ["dashboard", "shared", "package-lock.json"].flatMap((place) =>
  statSync(join(top, place)).isFile()
    ? [place]
    : readdirSync(join(top, place), { recursive: true, encoding: "utf8" }).map((name) => join(place, name)),
);
const hash = createHash("sha256");
for (const source of sources.filter((name) => !name.startsWith("dashboard/dist")).sort()) {
  if (statSync(join(top, source)).isFile()) hash.update(source).update(readFileSync(join(top, source)));
}
const wanted = hash.digest("hex");

if (!existsSync(stampFile) || readFileSync(stampFile, "utf8") !== wanted) {
  console.log("Building the dashboard ...");
  const arguments_ = [
    "node_modules/vite/bin/vite.js",
    "build",
    "--config",
    "dashboard/vite.config.ts",
    "--logLevel",
    "error",
  ];
  const result = spawnSync(process.execPath, arguments_, { cwd: top, stdio: ["ignore", "ignore", "inherit"] });
  if (result.status !== 0) {
    console.error("The dashboard could not be built. `npm run build` tries again.");
    process.exit(1);
  }
  writeFileSync(stampFile, wanted);
}
