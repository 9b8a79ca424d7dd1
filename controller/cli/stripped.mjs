// Evenbrine runs its TypeScript directly. Taking the types off needs a parser that stays in memory, about 30 MB, so what
// comes out is kept beside the packages, by the hash of what went in, and the parser is not loaded a second time.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { registerHooks, stripTypeScriptTypes } from "node:module";
import { fileURLToPath } from "node:url";

const top = new URL("../../", import.meta.url);
const kept = fileURLToPath(new URL("node_modules/.stripped/", top));

/** From now on every TypeScript file of ours is loaded as its kept, stripped copy. */
export function useStripped() {
  registerHooks({
    load(url, context, nextLoad) {
      const ours = url.startsWith(top.href) && url.endsWith(".ts") && !url.includes("/node_modules/");
      return ours ? { format: "module", source: keptSource(url), shortCircuit: true } : nextLoad(url, context);
    },
  });
}

let strippedAll = false;

/** The kept copy. Where there is none yet, another process strips everything, so that this one stays small. */
function keptSource(url) {
  if (!strippedAll && !existsSync(copyOf(readFileSync(fileURLToPath(url), "utf8")))) {
    strippedAll = true;
    const script = fileURLToPath(new URL("controller/cli/strip-all.mjs", top));
    spawnSync(process.execPath, ["--disable-warning=ExperimentalWarning", script], { stdio: "ignore" });
  }
  return strippedSource(url);
}

/** The source of a file without its types; lines and columns stay where they were. */
export function strippedSource(url) {
  const source = readFileSync(fileURLToPath(url), "utf8");
  const copy = copyOf(source);
  try {
    return readFileSync(copy, "utf8");
  } catch {
    const stripped = stripTypeScriptTypes(source);
    keep(copy, stripped);
    return stripped;
  }
}

const copyOf = (source) => `${kept}${createHash("sha256").update(process.version).update(source).digest("hex")}.js`;

function keep(copy, stripped) {
  try {
    mkdirSync(kept, { recursive: true });
    // Two may start at once: neither reads a copy that the other has only half written.
    writeFileSync(`${copy}.${process.pid}`, stripped);
    renameSync(`${copy}.${process.pid}`, copy);
  } catch {
    // A folder that cannot be written costs memory, not the start.
  }
}
