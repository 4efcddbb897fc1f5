/** Imported before any schema is made: the content policy forbids making code from text, which the library would try. */
import { z } from 'zod';

z.config({ jitless: true });
