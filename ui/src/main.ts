import { mount } from 'svelte';
import './fonts.css';
import './theme/theme.css';
import './theme/base.css';
import App from './App.svelte';

const target = document.getElementById('app');
if (!target) throw new Error('the page has no element with the id "app"');
if (import.meta.env.MODE === 'mock') (await import('./mock/install')).install();
mount(App, { target });
