import { chmodSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { controlSocketPath, createControlSocket, type Greeting } from "../../controller/cli/at-tank/control-socket.ts";
import { NoVisit, type Visit, visitController } from "../../controller/cli/at-tank/visit.ts";
import type { Request } from "../../shared/contract/index.ts";
import { METRIC } from "../../shared/units/index.ts";
import { evenbrine } from "../init/keeper.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { pause, until } from "../system/rig/until.ts";

const GREETING: Greeting = { version: 1, tank: "reef-box", name: "Reef box", water: "real", speed: 1, units: METRIC };

let data = "";
const toClose: { close(): unknown }[] = [];
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), "evenbrine-control-"));
});
afterEach(async () => {
  for (const one of toClose.splice(0).reverse()) await one.close();
  rmSync(data, { recursive: true, force: true });
});

/** A control socket, what came through it to the scan, what failed, and what it shows. */
async function opened(folder = "reef-box") {
  const came: Request[] = [];
  const failed: unknown[] = [];
  mkdirSync(join(data, folder), { recursive: true });
  const control = createControlSocket({
    folder: join(data, folder),
    offer(request) {
      came.push(request);
      return request.kind === "end-run" ? { id: request.id, accepted: false, why: "Too much was asked." } : null;
    },
    attempt(act) {
      try {
        act();
      } catch (error) {
        failed.push(error);
      }
    },
  });
  const topics = new Map([["box/sentence", "All is well."]]);
  const show = (place: string, text: string) => {
    topics.set(place, text);
    control.show(() => new Map(topics));
  };
  show("high-float/position", "dry");
  expect(await control.open(GREETING)).toBeNull();
  toClose.push(control);
  return { control, came, failed, show };
}

async function entered(tank: string | null = null): Promise<Visit> {
  const visit = await visitController({ data, tank });
  toClose.push(visit);
  return visit;
}

/** A visitor that speaks whatever it likes, line by line. */
function rawVisitor() {
  const socket = connect(controlSocketPath(join(data, "reef-box")));
  socket.on("error", () => undefined);
  const lines: unknown[] = [];
  createInterface({ input: socket })
    .on("line", (line) => lines.push(JSON.parse(line)))
    .on("error", () => undefined);
  toClose.push({ close: () => socket.destroy() });
  return { socket, lines, ask: (question: object) => void socket.write(`${JSON.stringify(question)}\n`) };
}

describe("the control socket", () => {
  it("tells who is there, what stands on every topic, and what is new", async () => {
    const { show } = await opened();
    const visit = await entered();
    expect(visit.greeting).toEqual(GREETING);
    expect([visit.text("high-float/position"), visit.text("low-float/position")]).toEqual(["dry", ""]);
    show("high-float/position", "wet");
    await until("the news", () => visit.text("high-float/position") === "wet");
  });

  it("says nothing that was not asked for: a look is answered once, with what has changed since it", async () => {
    const { show } = await opened();
    const { lines, ask } = rawVisitor();
    ask({ number: 1, ask: "look", since: 0 });
    await until("the first look", () => lines.length === 1);
    const places = { "box/sentence": "All is well.", "high-float/position": "dry" };
    expect(lines[0]).toEqual({ number: 1, look: 1, places });
    show("high-float/position", "wet");
    ask({ number: 2, ask: "greeting" });
    await until("the greeting", () => lines.length === 2);
    expect(lines[1]).toEqual({ number: 2, greeting: GREETING });
    ask({ number: 3, ask: "look", since: 1 });
    await until("the second look", () => lines.length === 3);
    expect(lines[2]).toEqual({ number: 3, look: 2, places: { "high-float/position": "wet" } });
    // Nothing is new: it waits, and a look that shows the same does not end it.
    ask({ number: 4, ask: "look", since: 2 });
    show("high-float/position", "wet");
    await pause(50);
    expect(lines).toHaveLength(3);
    show("high-float/position", "dry");
    await until("the news", () => lines.length === 4);
  });

  it("does not make what is shown while nobody looks", async () => {
    const { control } = await opened();
    let made = 0;
    const make = () => {
      made += 1;
      return new Map([["scan/count", String(made)]]);
    };
    for (let scan = 0; scan < 100; scan += 1) control.show(make);
    expect(made).toBe(0);
    expect((await entered()).text("scan/count")).toBe("1");
  });

  it("hands a request on as asked at the tank, and brings its outcome back", async () => {
    const { control, came } = await opened();
    const visit = await entered();
    const answered = visit.ask("hold", { minutes: 30 });
    await until("the request", () => came.length === 1);
    expect(came[0]).toMatchObject({ kind: "hold", at: "tank", minutes: 30 });
    control.answer([{ id: "another", accepted: false, why: "No." }]);
    control.answer([{ id: (came[0] as Request).id, accepted: true, why: "Holding." }]);
    expect(await answered).toMatchObject({ accepted: true, why: "Holding." });
  });

  it("brings back at once what cannot even wait for the scan", async () => {
    await opened();
    expect(await (await entered()).ask("end-run", {})).toMatchObject({ accepted: false, why: "Too much was asked." });
  });

  it("refuses what is no request, with what is wrong, and hands nothing on", async () => {
    const { came } = await opened();
    const visit = await entered();
    expect(await visit.ask("hold", { minutes: "many" })).toMatchObject({ accepted: false, why: /minutes/ });
    expect(await visit.ask("dance", {})).toMatchObject({ accepted: false });
    // Where somebody stands is never believed from their own words.
    expect(await visit.ask("hold", { minutes: 5, at: "network" })).toMatchObject({ accepted: false, why: /at/ });
    expect(came).toEqual([]);
  });

  it("open: mode 0600", async () => {
    await opened();
    expect(statSync(controlSocketPath(join(data, "reef-box"))).mode & 0o777).toBe(0o600);
  });

  it("file left by a killed controller: replaced", async () => {
    mkdirSync(join(data, "reef-box"));
    writeFileSync(join(data, "reef-box", "control"), "");
    await opened();
    expect((await entered()).greeting.tank).toBe("reef-box");
  });

  it("outlives garbage, a line without an end, a question that is none, and a visitor who goes away", async () => {
    const { show, failed } = await opened();
    for (const line of ['\u0000\u0001{"kind":', "[]", '"hold"', "null", '{"number":1}', '{"number":1,"ask":"look"}']) {
      const { socket } = rawVisitor();
      const cut = new Promise((resolve) => socket.once("close", resolve));
      socket.write(`${line}\n`);
      await cut;
    }
    const { socket } = rawVisitor();
    const cut = new Promise((resolve) => socket.once("close", resolve));
    socket.write("x".repeat(100_000));
    await cut;
    const { ask, lines } = rawVisitor();
    ask({ number: 1, ask: "request", kind: "__proto__", body: { id: "x" } });
    await until("an answer", () => lines.length === 1);
    show("box/sentence", "Still here.");
    expect((await entered()).text("box/sentence")).toBe("Still here.");
    expect(failed).toEqual([]);
  });

  it("what fails while somebody looks stays behind the boundary, and the next one is served", async () => {
    const { control, failed, show } = await opened();
    const { ask } = rawVisitor();
    control.show(() => {
      throw new Error("no such word");
    });
    ask({ number: 1, ask: "look", since: 0 });
    await until("the failure", () => failed.length === 1);
    show("box/sentence", "Still here.");
    expect((await entered()).text("box/sentence")).toBe("Still here.");
  });

  it("nine visitors: the ninth refused as too many; one gone: taken", async () => {
    await opened();
    const visits = await Promise.all(Array.from({ length: 8 }, () => entered()));
    await expect(entered()).rejects.toThrow(/too many/);
    visits[0]?.close();
    await expect.poll(async () => (await entered()).greeting.tank).toBe("reef-box");
  });

  it("answers whoever still waits when the controller ends", async () => {
    const { control } = await opened();
    const visit = await entered();
    const answered = visit.ask("hold", { minutes: 30 });
    await control.close();
    toClose.length = 0;
    expect(await answered).toMatchObject({ accepted: false, why: "The controller is gone." });
    expect(visit.isGone()).toBe(true);
    expect(await visit.ask("hold", { minutes: 30 })).toMatchObject({ accepted: false });
  });
});

describe("a visit that cannot be made", () => {
  it.each([
    ["no folder", () => undefined],
    ["a folder without a controller", () => mkdirSync(join(data, "reef-box"))],
    ["a socket whose controller is dead", () => writeFileSync(join(data, "control"), "")],
  ])("says that nobody runs: %s", async (_, made) => {
    made();
    await expect(visitController({ data, tank: null })).rejects.toThrow(/No controller runs on the folder/);
    await expect(visitController({ data: join(data, "absent"), tank: null })).rejects.toThrow(NoVisit);
  });

  it("two controllers, no --tank: names both; with it: that one", async () => {
    await opened("reef-box");
    await opened("rehearsal");
    await expect(visitController({ data, tank: null })).rejects.toThrow(/--tank reef-box or --tank rehearsal/);
    expect((await entered("rehearsal")).greeting.tank).toBe("reef-box");
  });

  it("folder that may not be read: you may not open it", async () => {
    chmodSync(data, 0o000);
    // Nothing is forbidden to root, who becomes nobody for a moment.
    const isRoot = process.geteuid?.() === 0;
    if (isRoot) process.seteuid?.(65_534);
    try {
      await expect(visitController({ data, tank: null })).rejects.toThrow(/You may not open/);
    } finally {
      if (isRoot) process.seteuid?.(0);
      chmodSync(data, 0o700);
    }
  });
});

describe("commands to a running controller", () => {
  let program: Program;
  let folder = "";
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-commands-"));
    program = await startProgram("reef-box", "--data", join(folder, ".evenbrine"));
    await program.untilTopic("scan/board", "ready", 20_000);
  }, 60_000);
  afterAll(async () => {
    await program?.end("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  });

  it("hold 5, then hold --end: exit 0, heater off too, says to unplug; over", async () => {
    const { code, out } = await evenbrine(folder, ["hold", "5"]);
    expect([code, out]).toEqual([0, expect.stringMatching(/stopped for 5 minutes\. The heater is off too\./)]);
    expect(out).toMatch(/Unplug every mains device/);
    await program.untilTopic("hold/with-heat", "true");
    expect((await evenbrine(folder, ["hold", "--end"])).out).toMatch(/The hold is over/);
    await program.untilTopic("hold/active", "false");
  }, 60_000);

  it("hold 200, clear, clear heat 1, ask dance: exit 1 or a word, the controller's reason", async () => {
    const { code, out, err } = await evenbrine(folder, ["hold", "200"]);
    expect([code, out]).toEqual([1, expect.not.stringContaining("Unplug")]);
    expect(err).toMatch(/Refused\. .*minutes/);
    expect((await evenbrine(folder, ["clear"])).out).toMatch(/Nothing is locked/);
    expect((await evenbrine(folder, ["clear", "heat", "1"])).err).toMatch(/Refused\. Heat is not locked/);
    expect((await evenbrine(folder, ["ask", "refill", "3"])).code).toBe(0);
    expect((await evenbrine(folder, ["ask", "dance"])).err).toMatch(/nothing that can be asked/);
  }, 60_000);

  it("status: exit 0, one sentence and one table of the rehearsal tank", async () => {
    const { code, out } = await evenbrine(folder, ["status"]);
    expect(code).toBe(0);
    expect(out).toMatch(/^\S.*\.\n\nTemperature +\d+\.\d ± \d\.\d °C/);
    for (const row of ["Salinity", "Level", "Reservoir", "Top-off", "Heat"])
      expect(out).toMatch(new RegExp(`^${row} `, "m"));
  }, 60_000);

  it("hold with no controller on the folder: exit 1, says so, no stack trace", async () => {
    const { code, err } = await evenbrine(folder, ["hold", "5", "--data", "elsewhere"]);
    expect([code, err]).toEqual([1, expect.stringMatching(/No controller runs on the folder elsewhere/)]);
    expect(err).not.toMatch(/\n\s+at /);
  }, 60_000);
});
