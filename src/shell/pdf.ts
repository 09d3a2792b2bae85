import PDFDocument from 'pdfkit';
import type { Drawing } from '../guide/drawing.ts';
import { drawPdf, type PdfPaper } from '../guide/pdf.ts';

/** The guide as PDF bytes: the same for the same sheets on any day, since its date and with it its id are fixed. */
export function pdfBytes(drawings: readonly Drawing[], title: string): Uint8Array {
  const document = new PDFDocument({
    autoFirstPage: false,
    // What zlib makes of the same text differs between its builds, so between machines.
    compress: false,
    // No font of the library's own: the guide brings its letters along.
    font: null as unknown as string,
    info: { Title: title, Producer: 'pocketpitch', Creator: 'pocketpitch', CreationDate: new Date(0) },
  });
  drawPdf(document as unknown as PdfPaper, drawings);
  document.end();
  // Everything is written at once: nothing here waits for a disk.
  const bytes: unknown = document.read();
  if (!(bytes instanceof Uint8Array)) throw new Error('the PDF came back empty');
  return bytes;
}
