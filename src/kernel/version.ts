/** The program's version: package.json's, to which a test holds it. Records name it, so that nobody compares what two versions made. */
export const VERSION = '0.1.0';
