// ask.mjs NODE.JSON PATH [BODY]: asks the node of this network namespace, as its command line would, and prints what it answers.
import { readFileSync } from 'node:fs';

const [file, path, body] = process.argv.slice(2);
const { url, token } = JSON.parse(readFileSync(file, 'utf8'));
const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
const answer = await fetch(`${url}/api/local/${path}`, body === undefined ? { headers } : { headers, method: 'POST', body });
console.log(await answer.text());
process.exitCode = answer.ok ? 0 : 1;
