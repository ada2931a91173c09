/** Colour where the terminal has it; plain text in a file, a pipe or a test. */
import { styleText } from 'node:util';

export const bold = (text: string): string => styleText('bold', text);
export const dim = (text: string): string => styleText('dim', text);
export const heading = (text: string, aside = ''): string =>
  styleText(['bold', 'cyan'], text) + (aside === '' ? '' : dim(`  ${aside}`));

type Style = Parameters<typeof styleText>[0];
const ALERT: Readonly<Record<'stop' | 'refer' | 'ask-more', Style>> = {
  stop: ['bold', 'white', 'bgRed'],
  refer: ['bold', 'red'],
  'ask-more': ['bold', 'yellow'],
};
export const alert = (status: keyof typeof ALERT, text: string): string => styleText(ALERT[status], text);
export const warn = (text: string): string => styleText('yellow', text);
