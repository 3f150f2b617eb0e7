import { mount } from 'svelte';
import './tokens.css';
import './page.css';
import './print.css';
import App from './App.svelte';
import { page } from './state/page.svelte';
import face from '@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2?url';

// Asked before anything is drawn: drawing and waiting go on together.
void page.refresh();

const target = document.getElementById('page');
if (target) mount(App, { target });

// The reading face comes after the first paint: the system's face stands until then.
requestAnimationFrame(() =>
  setTimeout(() => {
    void new FontFace('Reading', `url("${face}") format("woff2")`, { weight: '200 800', display: 'swap' })
      .load()
      .then((loaded) => document.fonts.add(loaded))
      .catch(() => undefined);
  }, 0),
);
