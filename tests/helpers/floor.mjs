import dgram from 'node:dgram';
import process from 'node:process';

/**
 * What stands on the dance floor in tests: it listens to sACN and Art-Net by plain sockets, prints a line for every datagram of levels
 * (`arrival in epoch ms, protocol, universe or Port-Address, sequence, slot 1`), and answers ArtPoll as a node with one output would.
 * Arguments: interface, its IPv4 address, the universes to listen to, the Port-Address to subscribe to.
 */
const [name = '', address = '', universes = '', portAddress = ''] = process.argv.slice(2);
const print = (...words) => process.stdout.write(`${words.join(' ')}\n`);
const now = () => performance.timeOrigin + performance.now();

/** ANSI E1.31-2018, Table 4-1: CID from 22, sequence at 111, options at 112, universe at 113, slot 1 at 126; vector 4 at 18 means data. */
function hearSacn(packet) {
  if (packet.length < 127 || packet.readUInt32BE(18) !== 4) return;
  print(now(), 'sacn', packet.readUInt16BE(113), packet[111], packet[126]);
}

/** Art-Net 4: OpCode at 8, low byte first. ArtDmx: sequence at 12, SubUni at 14, Net at 15, slot 1 at 18. */
function hearArtnet(packet, from) {
  const opCode = packet.readUInt16LE(8);
  if (opCode === 0x5000) print(now(), 'artnet', (packet[15] << 8) | packet[14], packet[12], packet[18]);
  if (opCode === 0x2000 && from.address !== address) artnet.send(pollReply, 6454, from.address, ignore);
}

/** Art-Net 4, ArtPollReply: one port that puts Port-Address `portAddress` out. What is not set here may be zero. */
const pollReply = Buffer.alloc(239);
pollReply.write('Art-Net\0', 0, 'latin1');
pollReply.writeUInt16LE(0x2100, 8);
pollReply.set(address.split('.').map(Number), 10);
pollReply.writeUInt16LE(0x1936, 14);
pollReply[18] = Number(portAddress) >> 8;
pollReply[19] = (Number(portAddress) >> 4) & 0x0f;
pollReply.write('Floor', 26, 'latin1');
pollReply.write('Floor box', 44, 'latin1');
pollReply.write('#0001 [0000] up', 108, 'latin1');
pollReply[173] = 1;
pollReply[174] = 0x80;
pollReply[182] = 0x80;
pollReply[190] = Number(portAddress) & 0x0f;
pollReply.set(address.split('.').map(Number), 207);
pollReply[211] = 1;
pollReply[212] = 0x08;

const ignore = () => undefined;
const listen = (type, port, onMessage) =>
  new Promise((resolve) => {
    const socket = dgram.createSocket({ type, ipv6Only: type === 'udp6', reuseAddr: true });
    socket.on('error', ignore);
    socket.on('message', onMessage);
    socket.bind(port, () => resolve(socket));
  });

const sacn = await listen('udp4', 5568, hearSacn);
const sacn6 = await listen('udp6', 5568, hearSacn);
const artnet = await listen('udp4', 6454, hearArtnet);
for (const universe of universes.split(',').map(Number)) {
  // Section 9.3: 239.255 and the universe; FF18::8300 and the universe.
  sacn.addMembership(`239.255.${universe >> 8}.${universe & 0xff}`, address);
  sacn6.addMembership(`ff18::8300:${universe.toString(16)}`, `::%${name}`);
}
print('listening');
