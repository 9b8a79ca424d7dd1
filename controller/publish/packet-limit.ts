import { Duplex } from "node:stream";

/** Asked at the head of every packet, by its type (MQTT 3.1.1, section 2.2.1) and its length; false ends the connection. */
export type MayEnter = (type: number, bytes: number) => boolean;

/**
 * A stream that ends at the first packet that may not enter, before its content is gathered: the broker's parser itself
 * would wait for up to 256 MB. Reads the fixed header of each packet (MQTT 3.1.1, section 2.2): one byte of type, then
 * the remaining length in one to four bytes of seven bits.
 */
export function limitPackets(inner: Duplex, mayEnter: MayEnter): Duplex {
  const measure = packetMeasure(mayEnter);
  const outer = new Duplex({
    read: () => inner.resume(),
    write: (chunk, _encoding, done) => {
      inner.write(chunk, done);
    },
    final: (done) => {
      inner.end(done);
    },
    destroy: (error, done) => {
      inner.destroy();
      done(error);
    },
  });
  inner.on("data", (chunk: Buffer) => {
    if (!measure(chunk)) outer.destroy(new Error("a packet that may not enter"));
    else if (!outer.push(chunk)) inner.pause();
  });
  inner.once("end", () => outer.push(null));
  inner.once("error", (error) => outer.destroy(error));
  inner.once("close", () => outer.destroy());
  return outer;
}

/** Takes the bytes of a connection piece by piece; false from the first packet that may not enter, or is none at all. */
export function packetMeasure(mayEnter: MayEnter): (chunk: Uint8Array) => boolean {
  let leftOfPacket = 0;
  let headerBytes = 0;
  let type = 0;
  let length = 0;
  return (chunk) => {
    let at = 0;
    while (at < chunk.length) {
      if (leftOfPacket > 0) {
        const taken = Math.min(leftOfPacket, chunk.length - at);
        leftOfPacket -= taken;
        at += taken;
        continue;
      }
      const byte = chunk[at] as number;
      at += 1;
      headerBytes += 1;
      if (headerBytes === 1) {
        type = byte >> 4;
        continue;
      }
      if (headerBytes > 5) return false;
      length += (byte & 0x7f) * 128 ** (headerBytes - 2);
      if (byte >= 0x80) continue;
      if (!mayEnter(type, headerBytes + length)) return false;
      leftOfPacket = length;
      [headerBytes, length] = [0, 0];
    }
    return true;
  };
}
