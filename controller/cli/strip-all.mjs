// Strips everything before a start, so that the process that stays never loads the parser. Runs on Node 24.
import { readdirSync } from "node:fs";
import { strippedSource } from "./stripped.mjs";

const top = new URL("../../", import.meta.url);
for (const room of ["controller/", "shared/"]) {
  const files = readdirSync(new URL(room, top), { recursive: true, encoding: "utf8" });
  for (const file of files.filter((name) => name.endsWith(".ts") && !name.endsWith(".d.ts"))) {
    strippedSource(new URL(`${room}${file}`, top).href);
  }
}
