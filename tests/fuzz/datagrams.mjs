import { readFileSync } from 'node:fs';

/**
 * Datagrams that no honest device sends, and some that one could. Offsets are those of ANSI E1.31-2018 Tables 4-1 to 4-3 and of Art-Net
 * 4's packet definitions, written out here: nothing comes from the node's own tables.
 */
const printed = Buffer.from(readFileSync(new URL('../truth/e131-table-b13.hex', import.meta.url), 'utf8').trim(), 'hex');

/** Universe and Port-Address that all of it is about: far from what anybody else on the loopback of a busy machine may send. */
export const UNIVERSE = 3001;
export const GROUP = `239.255.${UNIVERSE >> 8}.${UNIVERSE & 0xff}`;

/** The data packet that E1.31-2018 prints as Table B-13, in our universe. */
export const TRUTH = Buffer.from(printed);
TRUTH.writeUInt16BE(UNIVERSE, 113);

/** Numbers in 0..1 that are the same for the same seed (mulberry32, a public-domain generator). */
function randomFrom(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Root layer and framing vector of an extended packet (Tables 4-2 and 4-3), with lengths that are right for its size. */
function extended(framingVector, length) {
  const packet = Buffer.alloc(length);
  TRUTH.copy(packet, 0, 0, 16);
  packet.writeUInt32BE(8, 18);
  TRUTH.copy(packet, 22, 22, 38);
  packet.writeUInt32BE(framingVector, 40);
  for (const at of [16, 38]) packet.writeUInt16BE(0x7000 + length - at, at);
  return packet;
}

function syncPacket() {
  const packet = extended(1, 49);
  packet.writeUInt16BE(7962, 45);
  return packet;
}

function discoveryPacket() {
  const packet = extended(2, 124);
  packet.write('Source_A', 44);
  packet.writeUInt16BE(0x7000 + 12, 112);
  packet.writeUInt32BE(1, 114);
  packet.writeUInt16BE(UNIVERSE, 120);
  packet.writeUInt16BE(UNIVERSE + 1, 122);
  return packet;
}

/** ID, OpCode low byte first, protocol version 14. */
function artnet(opCode, length) {
  const packet = Buffer.alloc(length);
  packet.write('Art-Net\0', 0, 'latin1');
  packet.writeUInt16LE(opCode, 8);
  packet[11] = 14;
  return packet;
}

export function artDmx(portAddress, sequence = 0) {
  const packet = artnet(0x5000, 530);
  packet.set([sequence, 0, portAddress & 0xff, portAddress >> 8, 2, 0], 12);
  return packet;
}

function artPollReply() {
  const packet = artnet(0x2100, 239);
  packet.set([127, 0, 0, 9, 0x36, 0x19], 10);
  packet.write('Box', 26, 'latin1');
  packet.write('Box by the door', 44, 'latin1');
  packet[173] = 1;
  packet[174] = 0x80;
  packet.set([UNIVERSE >> 8, (UNIVERSE >> 4) & 0x0f], 18);
  packet[190] = UNIVERSE & 0x0f;
  packet[211] = 1;
  return packet;
}

const artPoll = () => artnet(0x2000, 22);
const artSync = () => artnet(0x5200, 14);
const artOther = () => artnet(0x9700, 19);

/** What a mutation begins with; where its lengths stand, its names, and the octets that tell what it is. */
const SACN = {
  good: [() => Buffer.from(TRUTH), syncPacket, discoveryPacket],
  mostly: 0.7,
  lengths: [16, 38, 112, 115, 123],
  names: [44],
  nameSize: 64,
  head: 44,
};
const ARTNET = {
  good: [() => artDmx(UNIVERSE), artPollReply, artPoll, artSync, artOther],
  mostly: 0.5,
  lengths: [10, 14, 16, 172],
  names: [26, 44, 108],
  nameSize: 64,
  head: 12,
};
const PROTOCOLS = { sacn: SACN, artnet: ARTNET };

const HOSTILE_NAMES = [
  '\u001b]0;owned\u0007\u001b[2J\u001b[31m',
  '<img src=x onerror=alert(1)><script>1</script>',
  '\u202e\u2066evil\u2069\u200b\ufeff',
  '"}],"sources":[{"name":"',
  "'; DROP TABLE remotes; --",
  '../../../../etc/passwd\n\r\n\u0085\u2028',
  `e${'\u0301'.repeat(30)}`,
  '%s%n%x{{7*7}}',
  '\u{1f3aa}'.repeat(16),
  '__proto__',
  '',
].map((text) => Buffer.from(text));
/** No UTF-8: overlong forms, half a surrogate pair, what breaks off. */
HOSTILE_NAMES.push(Buffer.from('c0afe080aff09f8eedA0ff'.padEnd(128, 'fe'), 'hex'), Buffer.alloc(64, 0xff), Buffer.alloc(64, 0x80));

const EDGES = [
  0, 1, 2, 0x7f, 0x80, 0xff, 0x100, 0x1ff, 0x200, 0x201, 0x202, 0x6fff, 0x7000, 0x726e, 0x7fff, 0x8000, 0xf9ff, 0xfa00, 0xfffe,
  0xffff,
];
/** The largest that Ethernet carries whole; UDP takes up to 65507. */
const LARGEST = 1472;

export class Datagrams {
  #random;
  constructor(seed) {
    this.#random = randomFrom(seed);
  }

  /** The next one for a protocol, with what was done to it. */
  next(protocol) {
    const kinds = Object.keys(this.#make);
    const kind = kinds[this.#below(kinds.length)];
    return { kind, bytes: this.#make[kind](PROTOCOLS[protocol]) };
  }

  #make = {
    random: () => this.#junk(this.#below(LARGEST + 1)),
    headed: ({ good, head }) => {
      const packet = this.#junk(head + this.#below(LARGEST - head));
      this.#one(good).copy(packet, 0, 0, head);
      return packet;
    },
    mutated: (protocol) => this.#spoil(this.#good(protocol), 1 + this.#below(8)),
    truncated: (protocol) => {
      const packet = this.#good(protocol);
      return packet.subarray(0, this.#below(packet.length));
    },
    oversized: (protocol) => Buffer.concat([this.#good(protocol), this.#junk(1 + this.#below(900))]),
    lengths: (protocol) => {
      const packet = this.#good(protocol);
      for (const at of protocol.lengths)
        if (at + 2 <= packet.length && this.#random() < 0.5) packet.writeUInt16BE(this.#edge(), at);
      return packet;
    },
    edges: (protocol) => {
      const packet = this.#good(protocol);
      for (let i = 0; i < 3; i++) packet.writeUInt16BE(this.#edge(), this.#below(Math.min(packet.length, 240) - 1));
      return packet;
    },
    /** Right in everything but what it says of itself, and by a sender never seen before. */
    hostile: (protocol) => {
      const packet = this.#good(protocol);
      if (protocol === SACN) this.#junk(16).copy(packet, 22);
      for (const at of protocol.names) {
        if (packet.length < at + protocol.nameSize) continue;
        packet.fill(0, at, Math.min(packet.length, at + protocol.nameSize));
        HOSTILE_NAMES[this.#below(HOSTILE_NAMES.length)].copy(packet, at, 0, protocol.nameSize);
      }
      return packet;
    },
    /** Right in everything, with other senders, universes, priorities, options and numbers. */
    stranger: (protocol) => {
      const packet = this.#good(protocol);
      if (protocol === SACN && packet.length === TRUTH.length) {
        packet[37] = this.#below(256);
        packet[108] = this.#below(256);
        packet[111] = this.#below(256);
        packet[112] = this.#one([() => 0, () => 0x40, () => 0x80, () => this.#below(256)]);
        packet.writeUInt16BE(UNIVERSE - 1 + this.#below(4), 113);
        packet[125] = this.#one([() => 0, () => 0xdd]);
      } else if (protocol === ARTNET && packet.length > 16) packet[14] = (UNIVERSE - 1 + this.#below(4)) & 0xff;
      return packet;
    },
  };

  #good({ good, mostly }) {
    return this.#random() < mostly ? good[0]() : this.#one(good);
  }

  #one(makers) {
    return makers[this.#below(makers.length)]();
  }

  #below(n) {
    return Math.floor(this.#random() * n);
  }

  #edge() {
    return EDGES[this.#below(EDGES.length)];
  }

  #junk(length) {
    const bytes = Buffer.allocUnsafe(length);
    for (let i = 0; i < length; i += 4) {
      const word = Math.floor(this.#random() * 4294967296);
      for (let j = i; j < Math.min(length, i + 4); j++) bytes[j] = (word >>> (8 * (j - i))) & 0xff;
    }
    return bytes;
  }

  #spoil(packet, times) {
    for (let i = 0; i < times; i++) packet[this.#below(packet.length)] = this.#below(256);
    return packet;
  }
}
