/** Asks the local network for a name, as a phone does (RFC 6762), and prints the addresses that answer. Words: the name. */
import makeMdns from 'multicast-dns';

const [name] = process.argv.slice(2);
const mdns = makeMdns();
const ask = setInterval(() => mdns.query(name, 'A'), 200);
const found = setTimeout(() => process.exit(1), 8000);
mdns.on('response', ({ answers }) => {
  const addresses = answers.filter((one) => one.type === 'A' && one.name === name).map(({ data }) => data);
  if (addresses.length === 0) return;
  clearInterval(ask);
  clearTimeout(found);
  console.log(addresses.join(' '));
  mdns.destroy();
});
