import { chmodSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { createDoor, type Door, doorPath, type Greeting } from "../../controller/cli/at-tank/door.ts";
import { NoVisit, type Visit, visitController } from "../../controller/cli/at-tank/visit.ts";
import { createIntake, type MessageClient } from "../../controller/publish/index.ts";
import type { Request } from "../../shared/contract/index.ts";
import { evenbrine } from "../init/keeper.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { until } from "../system/rig/until.ts";

const GREETING: Greeting = {
  version: 1,
  tank: "reef-box",
  name: "Reef box",
  water: "real",
  speed: 1,
  address: "http://127.0.0.1:1/",
};

const silentClient = (): MessageClient => ({
  showsRetained: true,
  publish: () => true,
  subscribe: () => undefined,
  onConnect: () => undefined,
  connected: () => true,
  close: async () => undefined,
});

let data = "";
const toClose: { close(): unknown }[] = [];
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), "evenbrine-door-"));
});
afterEach(async () => {
  for (const one of toClose.splice(0).reverse()) await one.close();
  rmSync(data, { recursive: true, force: true });
});

/** A door with a real intake behind it, and what came to the scan. */
async function opened(folder = "reef-box") {
  const came: Request[] = [];
  mkdirSync(join(data, folder), { recursive: true });
  const door: Door = createDoor({
    folder: join(data, folder),
    tank: "reef-box",
    offer: (request) => {
      came.push(request);
      intake.offer(request);
    },
  });
  const client = door.overheard(silentClient());
  const intake = createIntake(client, "reef-box");
  expect(await door.open(GREETING)).toBeNull();
  toClose.push(door);
  return { door, client, intake, came };
}

async function entered(tank: string | null = null): Promise<Visit> {
  const visit = await visitController({ data, tank });
  toClose.push(visit);
  return visit;
}

describe("the socket for commands at the tank", () => {
  it("visitor: greeting, what stands on each topic, then news", async () => {
    const { client } = await opened();
    client.publish("homie/5/reef-box/high-float/position", "dry", true);
    const visit = await entered();
    expect(visit.greeting).toEqual(GREETING);
    expect([visit.text("high-float/position"), visit.text("low-float/position")]).toEqual(["dry", ""]);
    client.publish("homie/5/reef-box/high-float/position", "wet", true);
    await until("the news", () => visit.text("high-float/position") === "wet");
  });

  it("hold asked: handed on as at the tank, its outcome comes back", async () => {
    const { intake, came } = await opened();
    const visit = await entered();
    const answered = visit.ask("hold", { minutes: 30 });
    await until("the request", () => came.length === 1);
    expect(came[0]).toMatchObject({ kind: "hold", at: "tank", minutes: 30 });
    intake.answer([{ id: (came[0] as Request).id, accepted: true, why: "Holding." }]);
    expect(await answered).toMatchObject({ accepted: true, why: "Holding." });
  });

  it('minutes that are none, unknown kind or an "at" of its own: refused, nothing handed on', async () => {
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
    expect(statSync(doorPath(join(data, "reef-box"))).mode & 0o777).toBe(0o600);
  });

  it("file left by a killed controller: replaced", async () => {
    mkdirSync(join(data, "reef-box"));
    writeFileSync(join(data, "reef-box", "door"), "");
    await opened();
    expect((await entered()).greeting.tank).toBe("reef-box");
  });

  it("garbage, 100,000 characters without an end, visitor gone: others still served", async () => {
    const { client } = await opened();
    const path = doorPath(join(data, "reef-box"));
    const garbage = connect(path);
    garbage.write('\u0000\u0001{"kind":\n[]\n"hold"\n{"kind":"__proto__","body":{"id":"x"}}\n');
    const endless = connect(path);
    endless.on("error", () => undefined);
    const cut = new Promise((resolve) => endless.once("close", resolve));
    endless.write("x".repeat(100_000));
    await cut;
    garbage.destroy();
    client.publish("homie/5/reef-box/box/sentence", "Still here.", true);
    expect((await entered()).text("box/sentence")).toBe("Still here.");
  });

  it("nine visitors: the ninth refused as too many; one gone: taken", async () => {
    await opened();
    const visits = await Promise.all(Array.from({ length: 8 }, () => entered()));
    await expect(entered()).rejects.toThrow(/too many/);
    visits[0]?.close();
    await until("a free place", () => true);
    await expect.poll(async () => (await entered()).greeting.tank).toBe("reef-box");
  });

  it("controller ends with a request open: answered as gone, later ones refused", async () => {
    const { door } = await opened();
    const visit = await entered();
    const answered = visit.ask("hold", { minutes: 30 });
    await door.close();
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
    ["a socket whose controller is dead", () => writeFileSync(join(data, "door"), "")],
  ])("%s: no controller runs on the folder", async (_, made) => {
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
