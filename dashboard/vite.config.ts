import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { defineConfig, type Plugin } from "vite";

const require = createRequire(import.meta.url);
const leftOut = (name: string): string => join(import.meta.dirname, "incoming/left-out", name);
/** The npm package of a name that Node also has as a built-in module; the trailing slash tells them apart. */
const npmPackage = (name: string): string => require.resolve(`${name}/`);
const processPackage = join(dirname(npmPackage("process")), "browser.js");

/** Puts each text beside itself compressed, so that the web server need not do it for every visitor. */
function compressedBeside(): Plugin {
  return {
    name: "compressed-beside",
    // From what was written, not from the bundle: until the very end the tool still fills in names of parts.
    writeBundle({ dir }, bundle) {
      for (const name of Object.keys(bundle)) {
        const path = join(dir ?? "", name);
        const text = readFileSync(path);
        writeFileSync(`${path}.gz`, gzipSync(text, { level: 9 }));
        writeFileSync(`${path}.br`, brotliCompressSync(text));
      }
    },
  };
}

/**
 * The MQTT client is built from its own modules instead of its ready-made browser bundle: that one carries TCP, TLS,
 * SOCKS and a worker for timers, none of which a page on our own origin needs (98 kB gzip against 60).
 */
export default defineConfig({
  plugins: [compressedBeside()],
  root: import.meta.dirname,
  base: "./",
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  resolve: {
    alias: [
      { find: /^(ws|worker-timers|lru-cache)$/, replacement: leftOut("nothing.ts") },
      { find: /^debug$/, replacement: leftOut("debug.cjs") },
      { find: /^buffer$/, replacement: npmPackage("buffer") },
      { find: /^events$/, replacement: npmPackage("events") },
      { find: /^string_decoder\/$/, replacement: npmPackage("string_decoder") },
      { find: /^process\/$/, replacement: processPackage },
    ],
  },
  build: {
    outDir: "dist",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    // A page that may be served under a strict content policy carries no data: addresses.
    assetsInlineLimit: 0,
    reportCompressedSize: false,
    // The client's streams were written for Node and expect its `process` to be there.
    rolldownOptions: { transform: { inject: { process: processPackage } } },
  },
});
