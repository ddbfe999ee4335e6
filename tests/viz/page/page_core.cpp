// The core of the page as a native program: each line of standard input a request, each line of output its answer.
#include <iostream>
#include <string>

#include "viz/page/core/face.h"

int main() {
  for (std::string line; std::getline(std::cin, line);)
    std::cout << leverwright_ask(line.c_str()) << std::endl;
}
