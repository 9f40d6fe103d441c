import { mount } from 'svelte';
import App from './App.svelte';
import './fonts.css';

const target = document.getElementById('app');
if (!target) throw new Error('the page has no element with the id "app"');
mount(App, { target });
