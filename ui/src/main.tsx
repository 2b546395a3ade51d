import { render } from 'preact';
import './tokens.css';
import './base.css';
import './parts/parts.css';
import { App } from './app.tsx';
import { connection } from './connection.ts';
import { takeUpSettings } from './settings.ts';

takeUpSettings();
connection.start();
const root = document.getElementById('app');
if (root !== null) render(<App />, root);
