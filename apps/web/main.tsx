import './first-reading.ts';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app.tsx';
import { firstReading } from './first-reading.ts';
import './style/fonts.css';
import './style/look.css';
import './draw/drawing.css';

/** ms for which nothing is drawn while the study is read: what would be seen for so short a time is not worth a frame. Our choice. */
const SOON = 200;

const show = () =>
  createRoot(document.getElementById('page') as HTMLElement).render(
    <StrictMode>
      <App />
    </StrictMode>,
  );

Promise.race([firstReading, new Promise((resolve) => setTimeout(resolve, SOON))]).then(show);
