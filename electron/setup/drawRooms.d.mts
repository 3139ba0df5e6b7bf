export declare function drawRooms(): string;
export declare const ROOMS_DRAWING: string;
