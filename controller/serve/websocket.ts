import type { IncomingMessage, Server } from "node:http";
import type { Duplex } from "node:stream";
import { createWebSocketStream, WebSocketServer } from "ws";
import { HTTP_PATHS } from "../../shared/contract/index.ts";
import { refusalOf } from "./origin.ts";

/** Pages that may be connected at once. */
export const MOST_PAGES = 16;
const MOST_FRAME_BYTES = 64 * 1024;

/**
 * Opens the WebSocket for MQTT on the web server's own port, for pages of its own only, and hands each connection on as
 * a stream of bytes. Returns what closes them.
 */
export function openWebSockets(server: Server, port: () => number, take: (stream: Duplex) => boolean): () => void {
  const sockets = new WebSocketServer({
    noServer: true,
    clientTracking: true,
    perMessageDeflate: false,
    maxPayload: MOST_FRAME_BYTES,
    handleProtocols: (offered) => (offered.has("mqtt") ? "mqtt" : false),
  });
  server.on("upgrade", (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    socket.on("error", () => socket.destroy());
    const refused = refusedUpgrade(request, port(), sockets.clients.size);
    if (refused !== null) {
      refuse(socket, ...refused);
      return;
    }
    sockets.handleUpgrade(request, socket, head, (webSocket) => {
      const stream = createWebSocketStream(webSocket);
      stream.on("error", () => webSocket.terminate());
      take(stream);
    });
  });
  return () => {
    for (const webSocket of sockets.clients) webSocket.terminate();
    sockets.close();
  };
}

function refusedUpgrade(request: IncomingMessage, port: number, pages: number): [number, string] | null {
  const { host, origin, "sec-fetch-site": site, "sec-websocket-protocol": protocols = "" } = request.headers;
  const refusal = refusalOf({ host, origin, site: site?.toString(), isPageVisit: false }, port);
  if (refusal !== null) return [refusal.status, refusal.why];
  if (request.url?.split("?")[0] !== HTTP_PATHS.mqtt) return [404, "There is nothing here."];
  if (!protocols.split(",").some((name) => name.trim() === "mqtt"))
    return [400, "Only the subprotocol mqtt is spoken."];
  return pages >= MOST_PAGES ? [503, "Too many pages are open."] : null;
}

const STATUS_WORDS: Record<number, string> = {
  400: "Bad Request",
  403: "Forbidden",
  404: "Not Found",
  421: "Misdirected Request",
  503: "Service Unavailable",
};

function refuse(socket: Duplex, status: number, why: string): void {
  const head = [
    `HTTP/1.1 ${status} ${STATUS_WORDS[status]}`,
    "Content-Type: text/plain; charset=utf-8",
    `Content-Length: ${Buffer.byteLength(why)}`,
    "Connection: close",
  ];
  socket.end(`${head.join("\r\n")}\r\n\r\n${why}`);
}
