/* What classes of the pages get from those made of them, for the type checker alone. */

export {};

declare module "./film/film_picture.js" {
  interface FilmPicture {
    notesOf(bearing: any, reference: any): Element[];
    paintMoving(context: any, at: number): void;
    paintStill(context: any, depth: number): void;
    planOf(bearing: any): any;
    sentenceAt(at: number): string;
    shows(): { row: string; words: string; unit: string };
  }
}
