import { describe, expect, it } from 'vitest';
import type { Link } from '../../node/core/ports.ts';
import { directedBroadcast, Routes } from '../../node/outputs/links.ts';
import { isLoopback, sameSubnet } from '../../node/outputs/subnet.ts';
import { link, loopback } from '../helpers/recording-udp.ts';

const eth = link('eth0', '192.0.2.10');
const eth6 = link('eth0', '2001:db8::10', { scope: 2 });
const wlan = link('wlan0', '198.51.100.10');

function routes(...turns: Link[][]): Routes {
  const all = new Routes();
  for (const links of turns) all.relink(links);
  return all;
}

const names = (links: readonly Link[]): string[] => links.map(({ name, address }) => `${name} ${address}`);

describe('subnets', () => {
  // Source: Python 3.11's ipaddress module, ip_interface(...).network and its broadcast_address.
  it.each([
    ['192.0.2.77', '255.255.255.192', '192.0.2.127'],
    ['10.20.30.40', '255.0.0.0', '10.255.255.255'],
    ['172.16.5.4', '255.255.240.0', '172.16.15.255'],
    ['2.0.0.10', '255.0.0.0', '2.255.255.255'],
    ['198.51.100.7', '255.255.255.255', '198.51.100.7'],
  ])('%s under %s is broadcast to at %s', (address, netmask, broadcast) => {
    expect(directedBroadcast(link('eth0', address, { netmask }))).toBe(broadcast);
  });

  // Source: the same module, ip_address(...) in ip_interface(...).network.
  it.each([
    ['192.0.2.77', '255.255.255.192', '192.0.2.64', true],
    ['192.0.2.77', '255.255.255.192', '192.0.2.127', true],
    ['192.0.2.77', '255.255.255.192', '192.0.2.128', false],
    ['192.0.2.77', '255.255.255.192', '192.0.2.63', false],
    ['10.20.30.40', '255.0.0.0', '10.255.0.1', true],
    ['10.20.30.40', '255.0.0.0', '11.0.0.1', false],
    ['172.16.5.4', '255.255.240.0', '172.16.15.255', true],
    ['172.16.5.4', '255.255.240.0', '172.16.16.0', false],
    ['2001:db8:0:8::1', 'ffff:ffff:ffff:fff8::', '2001:db8:0:f::1', true],
    ['2001:db8:0:8::1', 'ffff:ffff:ffff:fff8::', '2001:db8:0:10::1', false],
    ['fd00::2', 'ffff:ffff:ffff:ffff::', 'fd00::ffff:1', true],
    ['fd00::2', 'ffff:ffff:ffff:ffff::', 'fd00:0:0:1::1', false],
  ])('%s under %s shares a subnet with %s: %s', (address, netmask, other, same) => {
    expect(sameSubnet(link('eth0', address, { netmask }), other)).toBe(same);
  });

  it('an address of the other family, or none at all, shares no subnet', () => {
    expect(sameSubnet(eth, '2001:db8::1')).toBe(false);
    expect(sameSubnet(eth6, '192.0.2.1')).toBe(false);
    expect(sameSubnet(eth, 'nonsense')).toBe(false);
  });

  // RFC 1122 section 3.2.1.3 (127/8), RFC 4291 section 2.5.3 (::1).
  it.each([
    ['127.0.0.1', true],
    ['127.255.255.254', true],
    ['::1', true],
    ['128.0.0.1', false],
    ['192.0.2.127', false],
    ['::2', false],
  ])('%s is this machine itself: %s', (address, itself) => expect(isLoopback(address)).toBe(itself));
});

describe('what can be reached', () => {
  it('a neighbour on a link that is up', () => {
    expect(routes([eth]).reaches('192.0.2.50')).toBe(true);
    expect(routes([eth6]).reaches('2001:db8::50')).toBe(true);
  });

  it('not a neighbour on a link that has gone, until it is back', () => {
    const all = routes([eth, wlan]);
    expect(all.reaches('192.0.2.50')).toBe(true);
    all.relink([wlan]);
    expect(all.reaches('192.0.2.50')).toBe(false);
    expect(all.reaches('198.51.100.50')).toBe(true);
    all.relink([eth, wlan]);
    expect(all.reaches('192.0.2.50')).toBe(true);
  });

  it('a far address goes by the routing of the system, as long as some link of its family leads out', () => {
    expect(routes([loopback, eth]).reaches('203.0.113.9')).toBe(true);
    expect(routes([loopback, eth]).reaches('2001:db8:9::9')).toBe(false);
    expect(routes([loopback]).reaches('203.0.113.9')).toBe(false);
  });

  it('this machine itself, always', () => {
    expect(new Routes().reaches('127.0.0.1')).toBe(true);
    expect(routes([eth], []).reaches('::1')).toBe(true);
  });

  it('an interface that comes back with another address is asked no more about the old one', () => {
    const moved = link('eth0', '203.0.113.10');
    const all = routes([eth, wlan], [wlan], [moved, wlan]);
    expect(all.reaches('203.0.113.50')).toBe(true);
    expect(all.reaches('192.0.2.50')).toBe(true);
  });

  it('a subnet counts as away while its interface is back with the other family only', () => {
    expect(routes([eth, eth6, wlan], [wlan], [eth6, wlan]).reaches('192.0.2.50')).toBe(false);
  });
});

describe('the links to send by', () => {
  it('unless told, every one that leads out; loopback only where no other was ever seen', () => {
    expect(names(routes([loopback, eth, wlan]).chosen(undefined, 'IPv4'))).toEqual(['eth0 192.0.2.10', 'wlan0 198.51.100.10']);
    expect(names(routes([loopback]).chosen(undefined, 'IPv4'))).toEqual(['lo 127.0.0.1']);
    expect(names(routes([loopback, eth], [loopback]).chosen(undefined, 'IPv4'))).toEqual([]);
  });

  it('by name, by address, and by an address of the other family', () => {
    const all = routes([loopback, eth, eth6, wlan]);
    expect(names(all.chosen('wlan0', 'IPv4'))).toEqual(['wlan0 198.51.100.10']);
    expect(names(all.chosen('192.0.2.10', 'IPv4'))).toEqual(['eth0 192.0.2.10']);
    expect(names(all.chosen('192.0.2.10', 'IPv6'))).toEqual(['eth0 2001:db8::10']);
    expect(names(all.chosen('lo', 'IPv4'))).toEqual(['lo 127.0.0.1']);
    expect(names(all.chosen('eth9', 'IPv4'))).toEqual([]);
  });

  it('one an interface, even if it has several addresses; the wanted one if it was named', () => {
    const second = link('eth0', '10.0.0.10');
    const all = routes([eth, second]);
    expect(names(all.chosen(undefined, 'IPv4'))).toEqual(['eth0 192.0.2.10']);
    expect(names(all.chosen('10.0.0.10', 'IPv4'))).toEqual(['eth0 10.0.0.10']);
  });

  it('names the interfaces that are away', () => {
    const all = routes([loopback, eth, wlan], [loopback, wlan]);
    expect(all.away(undefined, 'IPv4')).toEqual(['eth0']);
    expect(all.away('eth0', 'IPv4')).toEqual(['eth0']);
    expect(all.away('wlan0', 'IPv4')).toEqual([]);
    expect(all.away('eth9', 'IPv4')).toEqual(['eth9']);
    expect(routes([loopback]).away(undefined, 'IPv4')).toEqual([]);
  });
});

describe('relink', () => {
  it('tells whether anything has changed, whatever the order', () => {
    const all = new Routes();
    expect(all.relink([eth, wlan])).toBe(true);
    expect(all.relink([{ ...wlan }, { ...eth }])).toBe(false);
    expect(all.relink([eth])).toBe(true);
    expect(all.relink([{ ...eth, address: '192.0.2.11' }])).toBe(true);
    expect(all.relink([{ ...eth, address: '192.0.2.11', netmask: '255.255.0.0' }])).toBe(true);
  });
});
