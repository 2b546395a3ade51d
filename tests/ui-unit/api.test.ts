import { afterEach, expect, it, vi } from 'vitest';
import { getMe, getRemotes, invite, type Refused, revoke } from '../../ui/src/api.ts';

afterEach(() => void vi.unstubAllGlobals());

const answered = (body: string, status = 200) => vi.stubGlobal('fetch', async () => new Response(body, { status }));

it('the node’s own answer is who this browser is', async () => {
  answered('{"remote":null,"claimable":true}');
  expect(await getMe()).toEqual({ remote: null, claimable: true });
});

it.each(['<html>Welcome to our network</html>', '', 'null', '"hello"', '{}', '[]'])(
  'another’s answer, such as %j, is a refusal and no browser that is not paired',
  async (body) => {
    answered(body);
    await expect(getMe()).rejects.toThrow('Something else than the node answers');
  },
);

it('a refusal is said in the node’s words, or by its status where it has none', async () => {
  answered('{"error":"Too many requests"}', 429);
  await expect(getMe()).rejects.toThrow('Too many requests');
  answered('<html>', 502);
  await expect(getMe()).rejects.toThrow('The node refused (502)');
  answered('null', 500);
  await expect(getMe()).rejects.toThrow('The node refused (500)');
});

it('no answer at all is said as such', async () => {
  vi.stubGlobal('fetch', async () => {
    throw new TypeError('failed');
  });
  await expect(getMe()).rejects.toMatchObject({ status: 0 } satisfies Partial<Refused>);
});

it('no list of phones, no code and no removal is taken from another than the node either', async () => {
  for (const body of ['{"portal":"agree"}', '<html>Welcome to our network</html>', '']) {
    answered(body);
    for (const ask of [getRemotes, () => invite('helper'), () => revoke(1)])
      await expect(ask()).rejects.toThrow('Something else than the node answers');
  }
});

it('a phone is removed when the node says so, without a word', async () => {
  vi.stubGlobal('fetch', async () => new Response(null, { status: 204 }));
  await expect(revoke(1)).resolves.toBeUndefined();
});
