export interface Shipped {
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  readonly copyright: string;
  readonly text: string;
}
/** Every package that is not for development only. */
export function shipped(): Shipped[];
/** THIRD-PARTY.md as it should be now. */
export function thirdParty(): string;
/** Paths from the root of every font file in packages that are installed and in our own rooms. */
export function installedFonts(): string[];
/** Those of them that electron-builder.yml packs. */
export function packedFonts(): string[];
