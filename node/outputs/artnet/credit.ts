/** The line that the owner of Art-Net asks every implementer to print; the README and the command line show it. */
export const ARTNET_CREDIT = 'Art-Net™ Designed by and Copyright Artistic Licence Engineering Ltd';
