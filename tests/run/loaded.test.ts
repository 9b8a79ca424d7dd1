import { existsSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { describe, expect, test } from "vitest";

/** What each process of a running controller loads, by the imports that are not of types alone. */
const TOP = resolve(import.meta.dirname, "../..");

/** `export … from` loads like `import … from`; a type that is imported alone does not, nor what is imported later. */
const LOADING = /^(?:import|export)\s+(?!type\b)(?:[^"';]*?\bfrom\s+)?"([^"]+)"/gm;

function loadedFrom(entry: string): { readonly files: ReadonlySet<string>; readonly packages: ReadonlySet<string> } {
  const [files, packages] = [new Set<string>(), new Set<string>()];
  const visit = (file: string) => {
    if (files.has(file)) return;
    files.add(file);
    for (const [, target = ""] of readFileSync(join(TOP, file), "utf8").matchAll(LOADING)) {
      if (target.startsWith(".")) visit(relative(TOP, resolve(TOP, dirname(file), target)));
      else packages.add(target);
    }
  };
  visit(entry);
  return { files, packages };
}

const SERVING = ["aedes", "mqtt", "fastify", "@fastify/static", "ws"];

describe("the scan's process", () => {
  const { files, packages } = loadedFrom("controller/run/index.ts");

  test("loads no broker, no web server, no history, and none of their rooms' insides", () => {
    expect([...packages].filter((name) => SERVING.includes(name))).toEqual([]);
    expect([...files].filter((file) => file.startsWith("controller/serve/"))).toEqual([]);
  });

  test("loads nothing of the rehearsal on real parts", () => {
    expect([...files].filter((file) => file.startsWith("controller/rehearsal/"))).toEqual([]);
    expect(existsSync(join(TOP, "controller/run/rehearsed-tank.ts"))).toBe(true);
    expect([...loadedFrom("controller/run/rehearsed-tank.ts").files]).toContain("controller/rehearsal/field.ts");
  });
});

describe("the front", () => {
  const { files, packages } = loadedFrom("controller/front/front.ts");

  test("loads what serves people, and neither scan, boards, outputs, rehearsal nor the durable memory's rules", () => {
    expect([...packages]).toEqual(expect.arrayContaining(["aedes", "fastify", "ws"]));
    const foreign = /^controller\/(scan|boards|inputs|outputs|rehearsal|signals|run)\//;
    expect([...files].filter((file) => foreign.test(file))).toEqual([]);
  });
});
