import { existsSync } from "node:fs";
import { join } from "node:path";
import type { Duplex } from "node:stream";
import serveFiles from "@fastify/static";
import fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import {
  type HealthAnswer,
  type HistoryAnswer,
  type HistoryChannel,
  HTTP_PATHS,
  type ProbesAnswer,
  type RefusedAnswer,
  type TankAnswer,
} from "../../shared/contract/index.ts";
import { readHistoryQuery } from "./history-query.ts";
import { oneAtATime, TooMany } from "./one-at-a-time.ts";
import { type Asking, ownHosts, refusalOf } from "./origin.ts";
import { openWebSockets } from "./websocket.ts";

export interface ServeOptions {
  /** 0 = any free port. */
  readonly port: number;
  /** Asked anew each time: marks change when they are calibrated. */
  readonly tank: () => TankAnswer;
  readonly history: {
    read(
      channels: readonly HistoryChannel[],
      fromMs: number,
      toMs: number,
      buckets: number,
      /** Aborted when whoever asked has left. */
      signal: AbortSignal,
    ): Promise<HistoryAnswer>;
  };
  /** Takes a page's MQTT connection; false = not taken, and already ended. */
  readonly handleMqttSocket: (stream: Duplex) => boolean;
  /** JSON Schema of the settings file. */
  readonly settingsSchema: object;
  /** The built dashboard. */
  readonly dashboardFolder: string;
  readonly health?: () => HealthAnswer;
  /** What hangs on this computer and what it says, asked anew each time. */
  readonly probes?: () => ProbesAnswer;
}

export interface Served {
  readonly port: number;
  /** What to type into a browser. */
  readonly address: string;
  close(): Promise<void>;
}

const MOST_CONNECTIONS = 128;
/** A page asks for two or three at once. */
const MOST_WAITING_READS = 16;
const HOST = "127.0.0.1";

/** The web server: the dashboard, the answers that are not live, and the way to the broker. On loopback only. */
export async function startServe(options: ServeOptions): Promise<Served> {
  const app = fastify({
    bodyLimit: 1_024,
    requestTimeout: 10_000,
    keepAliveTimeout: 30_000,
    forceCloseConnections: true,
    routerOptions: { maxParamLength: 100 },
    return503OnClosing: false,
  });
  let port = options.port;
  guard(app, () => port);
  answerApi(app, options);
  answerFiles(app, options.dashboardFolder);
  app.setNotFoundHandler((_, reply) => refuse(reply, 404, "There is nothing here."));
  app.setErrorHandler((error: { statusCode?: number }, _, reply) => {
    const status = error.statusCode ?? 500;
    return refuse(
      reply,
      status,
      status < 500 ? "The request cannot be read." : "The controller could not answer this.",
    );
  });
  app.server.maxConnections = MOST_CONNECTIONS;
  const closeSockets = openWebSockets(app.server, () => port, options.handleMqttSocket);
  try {
    await app.listen({ port: options.port, host: HOST });
  } catch (error) {
    await app.close();
    throw error;
  }
  port = (app.server.address() as { port: number }).port;
  return {
    port,
    address: `http://${HOST}:${port}/`,
    async close() {
      closeSockets();
      await app.close();
    },
  };
}

/** Before anything else is looked at: was it meant for us, by a page of ours? */
function guard(app: FastifyInstance, port: () => number): void {
  app.addHook("onRequest", async (request, reply) => {
    const refusal = refusalOf(askingOf(request), port());
    if (refusal !== null) return refuse(reply, refusal.status, refusal.why);
    if (request.method !== "GET" && request.method !== "HEAD") {
      return refuse(reply.header("allow", "GET, HEAD"), 405, "Here one can only read; requests go over MQTT.");
    }
  });
  app.addHook("onSend", async (_, reply) => {
    reply.headers({
      "content-security-policy": contentPolicy(port()),
      "x-content-type-options": "nosniff",
      "x-frame-options": "DENY",
      "referrer-policy": "no-referrer",
      "cross-origin-resource-policy": "same-origin",
      "cross-origin-opener-policy": "same-origin",
    });
  });
}

function askingOf({ headers, url }: FastifyRequest): Asking {
  const { host, origin, "sec-fetch-site": site, "sec-fetch-mode": mode, "sec-fetch-dest": destination } = headers;
  const isPageVisit = mode === "navigate" && destination === "document" && !url.startsWith("/api/");
  return { host, origin, site: site?.toString(), isPageVisit };
}

/** WebSockets are named one by one: not every browser counts them among its own origin's, and none takes `[::1]`. */
const contentPolicy = (port: number): string =>
  [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data:",
    "font-src 'self'",
    "manifest-src 'self'",
    `connect-src 'self' ${[...ownHosts(port)]
      .filter((own) => !own.startsWith("["))
      .map((own) => `ws://${own}`)
      .join(" ")}`,
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join("; ");

function answerApi(app: FastifyInstance, { tank, history, settingsSchema, health, probes }: ServeOptions): void {
  const inTurn = oneAtATime(MOST_WAITING_READS);
  const fresh = (reply: FastifyReply) => reply.header("cache-control", "no-store");
  app.get(HTTP_PATHS.tank, async (_, reply) => fresh(reply).send(tank()));
  app.get(HTTP_PATHS.settingsSchema, async (_, reply) =>
    fresh(reply).type("application/schema+json; charset=utf-8").send(JSON.stringify(settingsSchema)),
  );
  app.get(HTTP_PATHS.history, async (request, reply) => {
    const query = readHistoryQuery(request.query);
    if (typeof query === "string") return refuse(reply, 400, query);
    const { channels, fromMs, toMs, buckets } = query;
    const { signal } = request;
    try {
      return fresh(reply).send(await inTurn(() => history.read(channels, fromMs, toMs, buckets, signal), signal));
    } catch (error) {
      if (!(error instanceof TooMany)) throw error;
      return refuse(reply, 503, "The history is being read for others; ask again in a moment.");
    }
  });
  if (probes !== undefined) app.get(HTTP_PATHS.probes, async (_, reply) => fresh(reply).send(probes()));
  if (health === undefined) return;
  app.get(HTTP_PATHS.health, async (_, reply) => {
    const answer = health();
    return fresh(reply)
      .code(answer.healthy ? 200 : 503)
      .send(answer);
  });
}

/** Names of built assets change with their content; the page that names them is asked for anew each time. */
function answerFiles(app: FastifyInstance, folder: string): void {
  if (!existsSync(join(folder, "index.html"))) {
    app.get("/", (_, reply) =>
      refuse(reply, 503, "The dashboard is not built yet: run `npm run build`, then start again."),
    );
    return;
  }
  void app.register(serveFiles, {
    root: folder,
    preCompressed: true,
    cacheControl: false,
    dotfiles: "ignore",
    setHeaders: (reply, path) => {
      const hashed = path.includes("/assets/");
      reply.header("cache-control", hashed ? "public, max-age=31536000, immutable" : "no-cache");
    },
  });
}

function refuse(reply: FastifyReply, status: number, why: string): FastifyReply {
  const answer: RefusedAnswer = { version: 1, why };
  return reply.code(status).header("cache-control", "no-store").send(answer);
}
