import { afterEach, describe, expect, it, vi } from "vitest";
import { typed } from "../../controller/cli/typed.ts";

/** What a keeper is told to type is what would work where they stand. */
describe("command that a keeper is told to type", () => {
  afterEach(() => vi.unstubAllEnvs());

  it.each([
    ["by npm's own scripts: as npm runs it", "evenbrine", "npm run evenbrine -- prove"],
    ["by `npm start`: the same", "start", "npm run evenbrine -- prove"],
    ["by the linked command: as that is called", undefined, "evenbrine prove"],
    ["by a script of somebody else: as it is called", "deploy", "evenbrine prove"],
  ])("%s: event %j gives %s", (_, event, words) => {
    vi.stubEnv("npm_lifecycle_event", event);
    expect(typed("prove")).toBe(words);
  });

  it("usual folder: not named; another folder and tank: --data and --tank", () => {
    vi.stubEnv("npm_lifecycle_event", undefined);
    expect(typed("hold --end", { data: ".evenbrine" })).toBe("evenbrine hold --end");
    expect(typed("prove", { data: "/srv/reef", tank: "left" })).toBe("evenbrine prove --data /srv/reef --tank left");
  });
});
