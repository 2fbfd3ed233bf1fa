### inspect
