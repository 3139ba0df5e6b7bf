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
