#include "viz/app/command_line.h"

int main(int argc, char** argv) { return leverwright::app::run_command_line(argc, argv); }
