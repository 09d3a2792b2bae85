import PDFDocument from 'pdfkit';
import type { Drawing } from './guide/drawing.ts';
import { drawPdf, type PdfPaper } from './guide/pdf.ts';

/**
 * The guide as PDF bytes: the same for the same sheets on any day, since its date and with it its id are fixed; and the same on the bench
 * page as from the command.
 */
export async function pdfBytes(drawings: readonly Drawing[], title: string): Promise<Uint8Array> {
  const document = new PDFDocument({
    autoFirstPage: false,
    // What a compressor makes of the same text differs between its builds, so between machines.
    compress: false,
    // No font of the library's own: the guide brings its letters along.
    font: null as unknown as string,
    info: { Title: title, Producer: 'pocketpitch', Creator: 'pocketpitch', CreationDate: new Date(0) },
  });
  const chunks: Uint8Array[] = [];
  const ended = new Promise<void>((resolve, reject) => {
    document.on('data', (chunk: Uint8Array) => void chunks.push(chunk));
    document.on('end', resolve);
    document.on('error', reject);
  });
  drawPdf(document as unknown as PdfPaper, drawings);
  document.end();
  await ended;
  const bytes = new Uint8Array(chunks.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  if (bytes.length === 0) throw new Error('the PDF came back empty');
  return bytes;
}
