import { afterEach, expect, it, vi } from 'vitest';
import { getMe, type Refused } from '../../ui/src/api.ts';

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
