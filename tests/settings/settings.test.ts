import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { checkSettings } from '../../node/settings/check.ts';
import { overrideOutputs } from '../../node/settings/override.ts';

const head = { format: 'duskhand-settings', version: 1 };
const sacn = { id: 'x', protocol: 'sacn' };
const artnet = { id: 'x', protocol: 'artnet' };

function refusal(json: unknown, inUse: readonly number[] = []): InputError {
  try {
    checkSettings(json, inUse);
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('was accepted');
}

describe('settings', () => {
  it('stand at multicast sACN and Art-Net to whoever subscribes, until somebody sets them', () => {
    const { name, outputs } = checkSettings(head);
    expect(name).toBeUndefined();
    expect(outputs).toEqual([
      { id: 'sacn', protocol: 'sacn', to: 'multicast', family: 'IPv4', priority: 100 },
      { id: 'artnet', protocol: 'artnet', to: 'auto', sync: false, portAddresses: {} },
    ]);
  });

  it('come back the same when they are written out and read again', () => {
    const settings = checkSettings({ ...head, name: 'Booth', outputs: [{ ...sacn, priority: 120, interface: 'eth0' }] });
    expect(checkSettings(JSON.parse(JSON.stringify(settings)))).toEqual(settings);
  });

  it.each([
    ['no settings at all', 7, '', 'must be an object'],
    ['a show', { format: 'duskhand-show', version: 2 }, 'format', 'must be "duskhand-settings"'],
    ['settings of a newer node', { ...head, version: 2 }, 'version', 'must be 1'],
    ['a field that nobody knows', { ...head, rooms: 1 }, 'rooms', 'known are format, version, name, zone, outputs'],
    ['a name of blanks', { ...head, name: '  ' }, 'name', 'at least 1 character'],
    ['a name that would clear a terminal', { ...head, name: '\u001b[2J' }, 'name', 'no control characters'],
    ['a name that reads backwards', { ...head, name: 'a\u202eb' }, 'name', 'direction of reading'],
    ['an unknown protocol', { ...head, outputs: [{ id: 'x', protocol: 'usb' }] }, 'outputs[0].protocol', 'one of "sacn", "artnet"'],
    ['an output to nowhere', { ...head, outputs: [{ ...sacn, to: 'all' }] }, 'outputs[0].to', 'must be "multicast" or a list'],
    ['no address', { ...head, outputs: [{ ...artnet, to: ['node.example'] }] }, 'outputs[0].to[0]', 'must be an IP address'],
    ['Art-Net to IPv6', { ...head, outputs: [{ ...artnet, to: ['2001:db8::1'] }] }, 'outputs[0].to[0]', 'must be an IPv4 address'],
    ['an id twice', { ...head, outputs: [sacn, artnet] }, 'outputs[1].id', '"x" is given twice'],
    ['two Art-Net outputs', { ...head, outputs: [artnet, { ...artnet, id: 'y' }] }, 'outputs[1]', 'is Art-Net already'],
    [
      'a universe without a Port-Address',
      { ...head, outputs: [{ ...artnet, universes: [1, 40000] }] },
      'outputs[0].portAddresses',
      'universe 40000 needs a Port-Address',
    ],
    [
      'two universes on one Port-Address',
      { ...head, outputs: [{ ...artnet, portAddresses: { 1: 7, 2: 7 } }] },
      'outputs[0].portAddresses',
      'universe 1 and universe 2 would both go to Port-Address 7',
    ],
    [
      'a universe on the Port-Address that another has by its number',
      { ...head, outputs: [{ ...artnet, universes: [1, 7], portAddresses: { 1: 7 } }] },
      'outputs[0].portAddresses',
      'universe 1 and universe 7 would both go to Port-Address 7',
    ],
    [
      'a Port-Address for no universe',
      { ...head, outputs: [{ ...artnet, portAddresses: { '01': 7 } }] },
      'outputs[0].portAddresses.01',
      'must be the number of a universe',
    ],
    // ANSI E1.31-2018, section 9.3.1: 239.255 and the universe; RFC 5771: 224.0.0.0/4; RFC 4291, section 2.7: ff00::/8.
    ...['239.255.0.1', '224.0.0.1:5568', 'ff18::8300:1', '[::ffff:239.255.0.1]:5568'].map(
      (to): [string, object, string, string] => [
        `sACN of all universes to the group ${to}`,
        { ...head, outputs: [{ ...sacn, to: ['192.0.2.7', to] }] },
        'outputs[0].to[1]',
        `${to} is a multicast address`,
      ],
    ),
    ['Art-Net to a group', { ...head, outputs: [{ ...artnet, to: ['239.1.2.3'] }] }, 'outputs[0].to[0]', 'is a multicast address'],
    [
      'a universe twice',
      { ...head, outputs: [{ ...sacn, universes: [3, 1, 3] }] },
      'outputs[0].universes',
      'universe 3 is given twice',
    ],
    [
      'more universes than any show has',
      { ...head, outputs: [{ ...sacn, universes: Array.from({ length: 100_000 }, () => 1) }] },
      'outputs[0].universes',
      'at most 2000 entries',
    ],
    ['an id that a terminal obeys', { ...head, outputs: [{ ...sacn, id: '\u001b[2J' }] }, 'outputs[0].id', 'no control characters'],
    ['an id that reads backwards', { ...head, outputs: [{ ...sacn, id: 'a\u202eb' }] }, 'outputs[0].id', 'direction of reading'],
    ...['__proto__', 'constructor', 'toString'].map((id): [string, object, string, string] => [
      `the id ${id}`,
      { ...head, outputs: [{ ...sacn, id }] },
      'outputs[0].id',
      'every object knows already',
    ]),
    [
      'an interface that a terminal obeys',
      { ...head, outputs: [{ ...sacn, interface: 'eth0\n' }] },
      'outputs[0].interface',
      'no control characters',
    ],
  ])('are refused with where and why: %s', (_what, json, path, says) => {
    const { problems } = refusal(json);
    expect(problems.find((problem) => problem.path === path)?.message).toContain(says);
  });

  it('must be able to carry the universes in use', () => {
    const all = { ...head, outputs: [artnet] };
    expect(checkSettings(all, [1, 32767]).outputs).toHaveLength(1);
    expect(refusal(all, [1, 32768]).problems[0]?.message).toContain('universe 32768 needs a Port-Address');
    expect(checkSettings({ ...head, outputs: [{ ...artnet, portAddresses: { 32768: 3 } }] }, [32768]).outputs).toHaveLength(1);
    const swapped = { ...head, outputs: [{ ...artnet, portAddresses: { 1: 2, 2: 1 } }] };
    expect(checkSettings(swapped, [1, 2, 3]).outputs).toHaveLength(1);
    const onto = { ...head, outputs: [{ ...artnet, portAddresses: { 1: 2 } }] };
    expect(checkSettings(onto, [1, 3]).outputs).toHaveLength(1);
    expect(refusal(onto, [1, 2]).problems[0]?.message).toContain('universe 1 and universe 2 would both go to Port-Address 2');
  });
});

describe('flags over the outputs', () => {
  const { outputs } = checkSettings({
    ...head,
    outputs: [
      { ...sacn, id: 'one', universes: [1], priority: 150 },
      { ...artnet, id: 'two', portAddresses: { 1: 7 } },
    ],
  });

  it('change nothing that they do not name', () => {
    expect(overrideOutputs(outputs, {})).toEqual(outputs);
  });

  it('send elsewhere and by another interface, and leave the rest as it is set', () => {
    const [second, first] = overrideOutputs(outputs, { sacn: '192.0.2.7:5569', interface: 'eth1' });
    expect(first).toMatchObject({ id: 'one', to: ['192.0.2.7:5569'], universes: [1], priority: 150, interface: 'eth1' });
    expect(second).toMatchObject({ id: 'two', to: 'auto', portAddresses: { 1: 7 }, interface: 'eth1' });
  });

  it('leave a protocol out, or bring one in', () => {
    expect(overrideOutputs(outputs, { artnet: 'off' }).map(({ id }) => id)).toEqual(['one']);
    expect(overrideOutputs([], { sacn: 'multicast' })).toMatchObject([{ id: 'sacn', protocol: 'sacn', to: 'multicast' }]);
  });

  it.each([
    [{ sacn: 'everybody' }, '--sacn everybody: must be multicast, off or an IP address'],
    [{ artnet: '2001:db8::1' }, '--artnet 2001:db8::1: must be auto, off or an IPv4 address'],
    [{ sacn: '239.255.0.1' }, '--sacn: 239.255.0.1 is a multicast address'],
    [{ artnet: '239.1.2.3:6454' }, '--artnet: 239.1.2.3:6454 is a multicast address'],
    [{ interface: 'eth0\u001b[2J' }, '--interface: must be plain text'],
  ])('that make no sense are refused: %j', (flags, says) => {
    expect(() => overrideOutputs(outputs, flags)).toThrow(says);
  });
});
