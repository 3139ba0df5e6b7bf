export const OUTSIDE: string[];
