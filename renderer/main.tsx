import './bridge/no-code-from-text.ts';
import './look/look.css';
import { createRoot } from 'react-dom/client';
import { followStation } from './bridge/station.ts';
import { Frame } from './frame/Frame.tsx';

const place = document.getElementById('root');
if (place === null) throw new Error('index.html lacks its root element.');
followStation();
createRoot(place).render(<Frame />);
