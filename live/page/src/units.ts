// Units as people read them, as the program's `--units us` has them: fluid ounces beside sums, psi and °F alone.
const FL_OZ_ML = 29.5735295625;
export const PSI_KPA = 6.894757293168;

let us = false;

/** Takes units of the US from here on. */
export const takeUs = (whether: boolean): void => void (us = whether);
export const isUs = (): boolean => us;

/** Behind a sum in mL what it is in fluid ounces; nothing elsewhere. */
export const ounces = (ml: number): string => (us ? ` (${(ml / FL_OZ_ML).toFixed(1)} US fl oz)` : "");

const fahrenheit = (celsius: number): string => ((celsius * 9) / 5 + 32).toFixed(0);

/** A text of the core in these units: it has °C, and kPa with psi behind them in brackets or not. */
export const inUnits = (text: string): string =>
  us
    ? text
        .replace(/(\d[\d.]*) kPa(?: \(([\d.]+) psi\))?/g, (_, kpa: string, psi?: string) => `${psi ?? (Number(kpa) / PSI_KPA).toFixed(1)} psi`)
        .replace(/(-?\d[\d.]*) °C/g, (_, c: string) => `${fahrenheit(Number(c))} °F`)
    : text;
