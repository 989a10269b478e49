import './page-files.ts';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app.tsx';
import './style/fonts.css';
import './style/look.css';
import './draw/drawing.css';

createRoot(document.getElementById('page') as HTMLElement).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
