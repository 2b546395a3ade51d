import WebSocket from 'ws';

/** Pairs as an operator with the node of a `node.json` and watches its wire: `onReport` for every report. @returns what ends it. */
export async function watchWire({ url, token }, onReport) {
  const json = { 'content-type': 'application/json' };
  const post = (path, body, headers) => fetch(`${url}/${path}`, { method: 'POST', body: JSON.stringify(body), headers });
  const local = { ...json, authorization: `Bearer ${token}` };
  const { code } = await (await post('api/local/machine/invitations', { role: 'operator' }, local)).json();
  const paired = await post('api/pair', { code, name: 'Wire page' }, json);
  const cookie = paired.headers.get('set-cookie').split(';')[0];
  const socket = new WebSocket(`${url.replace('http', 'ws')}/ws`, { headers: { cookie, origin: url } });
  const send = (message) => socket.send(JSON.stringify(message));
  socket.on('message', (data, isBinary) => {
    const message = isBinary ? {} : JSON.parse(String(data));
    if (message.type === 'wire') onReport(message);
  });
  await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject));
  send({ type: 'watch-wire', rate: 1 });
  const beats = setInterval(() => send({ type: 'beat', id: 0 }), 500);
  socket.once('close', () => clearInterval(beats));
  return () => socket.terminate();
}
