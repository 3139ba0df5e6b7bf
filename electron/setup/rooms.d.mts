export declare const ROOMS: Readonly<Record<string, readonly string[]>>;
export type Imports = ReadonlyMap<string, readonly string[]>;
export declare function roomOf(file: string): string | null;
export declare function importsOf(folders?: readonly string[]): Imports;
export declare function arrowsBetweenRooms(imports: Imports): Map<string, string[]>;
export declare function circlesOf(imports: Imports): string[][];
export declare function roomFaults(imports?: Imports): string[];
export declare function checkRooms(): boolean;
