import { render } from 'preact';
import './styles/tokens.css';
import './styles/base.css';
import './styles/parts.css';
import './styles/tonight.css';
import './styles/show-button.css';
import './styles/reach.css';
import './styles/house.css';
import { App } from './app.tsx';
import { connection } from './connection.ts';
import { takeUpSettings } from './settings.ts';

takeUpSettings();
connection.start();
const root = document.getElementById('app');
if (root !== null) render(<App />, root);
